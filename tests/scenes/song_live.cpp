// four76_song_live SEED [MANNER] [worn]: a song that is followed while it plays, in twelve manners, by a portable that
// wows in a room. `worn` has it wow by twice and a half as much, in more noise. The truth is the machine's speed.
//
// Promised in every manner; the status is 1 where one does not hold:
// - lock: the first right number (0.15 %) that stays so comes within 8 s;
// - jitter: 95 of 100 numbers are within 0.1 % of the truth, worn 0.2 %, before the turn and 2 s behind it;
// - step: a turn of the trimmer by 1 % is reached to a tenth within 1.5 s, worn 4 s;
// - again: after the tape was stopped and wound back, a right number comes within 8 s;
// - stranger: another song by the same machine is given no number.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/song/song_session.hpp"
#include "tests/scenes/promises.hpp"
#include "tests/scenes/song_pieces.hpp"
#include "tests/scenes/song_tape.hpp"

namespace four76::scenes {
namespace {

constexpr double kRate_hz = 48000.0;
constexpr double kTurned_s = 20.0, kStopped_s = 34.0, kPause_s = 2.0, kEnd_s = 50.0;
constexpr double kBefore = -1.2, kAfter = -0.2;

enum Promise : std::size_t { kLock, kJitter, kStep, kJitterBehind, kAgain, kPromises };
constexpr std::array<const char*, kPromises> kNames{"lock", "jitter", "step", "jitter", "again"};
constexpr std::array<double, kPromises> kMost{8.0, 0.1, 1.5, 0.1, 8.0}, kMostWorn{8.0, 0.2, 4.0, 0.2, 8.0};

struct Row {
  double time_s = 0.0;
  std::optional<double> percent;
};

void append(std::vector<float>& sound, const std::vector<float>& more) {
  sound.insert(sound.end(), more.begin(), more.end());
}

std::vector<float> played(std::span<const float> piece, std::uint64_t seed, bool worn) {
  SongTape tape;
  tape.rate_hz = kRate_hz;
  tape.signal_to_noise_db = 18.0;
  tape.reverberation_s = 0.4;
  tape.wow = {{9.6, 0.08, 0.4}, {2.3, 0.07, 1.0}, {0.8, 0.05, 2.0}};
  if (worn) {
    tape.signal_to_noise_db = 14.0;
    tape.wow = {{9.6, 0.12, 0.4}, {4.1, 0.12, 0.7}, {1.1, 0.20, 1.0}, {0.6, 0.10, 2.0}};
  }
  tape.error_percent = kBefore;
  tape.from_s = 30.0;
  tape.seconds = kTurned_s;
  tape.seed = seed;
  std::vector<float> sound = record(piece, tape);
  tape.from_s += kTurned_s * (1.0 + 0.01 * kBefore);
  tape.error_percent = kAfter;
  tape.seconds = kStopped_s - kTurned_s;
  append(sound, record(piece, tape));
  append(sound, std::vector<float>(static_cast<std::size_t>(kPause_s * kRate_hz)));
  tape.from_s = 12.0;
  tape.seconds = kEnd_s - kStopped_s - kPause_s;
  append(sound, record(piece, tape));
  return sound;
}

std::vector<Row> followed(std::span<const float> sound, std::vector<float> reference) {
  SongSession session({.sample_rate_hz = kRate_hz}, std::move(reference));
  std::vector<Row> rows;
  std::uint64_t dials = 0;
  for (std::size_t at = 0; at + 480 <= sound.size(); at += 480) {
    session.process(sound.subspan(at, 480));
    if (session.dial_count() == dials) continue;
    dials = session.dial_count();
    const Reading& dial = session.dial();
    rows.push_back({session.time_s(), dial.status == Status::measured ? dial.speed_error_percent : std::nullopt});
  }
  return rows;
}

// From `from_s` on, the first number within a tenth of the step's height of the truth that stays there for 0.3 s.
std::optional<double> reached_s(const std::vector<Row>& rows, double from_s, double truth, double within) {
  std::optional<double> since;
  for (const Row& row : rows) {
    if (row.time_s < from_s) continue;
    const bool there = row.percent && std::abs(*row.percent - truth) < within;
    if (!there) since.reset();
    if (there && !since) since = row.time_s;
    if (since && row.time_s > *since + 0.3) return *since - from_s;
  }
  return std::nullopt;
}

std::optional<double> jitter(const std::vector<Row>& rows, double from_s, double to_s, double truth) {
  std::vector<double> off;
  int missing = 0;
  for (const Row& row : rows) {
    if (row.time_s < from_s || row.time_s > to_s) continue;
    if (row.percent) off.push_back(std::abs(*row.percent - truth));
    missing += row.percent ? 0 : 1;
  }
  if (off.size() < 20 || missing > static_cast<int>(off.size())) return std::nullopt;
  std::ranges::sort(off);
  return off[off.size() * 95 / 100];
}

struct Told {
  std::array<int, kPromises> held{};
  std::array<double, kPromises> worst{};  // 99: none came
  int manners = 0, given = 0;
};

void play(Manner manner, std::uint64_t seed, bool worn, Told& told) {
  const auto piece = play_piece(manner, 90.0, seed * 131 + static_cast<std::uint64_t>(manner), {.seed = 5});
  const auto rows = followed(played(piece, seed, worn), at_song_rate(piece, kPieceRate_hz));
  std::printf("%-15s", std::string(name_of(manner)).c_str());
  const auto lock_s = reached_s(rows, 0.0, kBefore, 0.15);
  const std::array<std::optional<double>, kPromises> values{
      lock_s, jitter(rows, lock_s.value_or(8.0) + 1.0, kTurned_s, kBefore), reached_s(rows, kTurned_s, kAfter, 0.1),
      jitter(rows, kTurned_s + 2.0, kStopped_s, kAfter), reached_s(rows, kStopped_s + kPause_s, kAfter, 0.15)};
  ++told.manners;
  for (std::size_t i = 0; i < kPromises; ++i) {
    const double value = values[i].value_or(99.0);
    const bool holds = value <= (worn ? kMostWorn : kMost)[i];
    std::printf("  %s %6.3f%s", kNames[i], value, holds ? " " : "!");
    told.held[i] += holds ? 1 : 0;
    told.worst[i] = std::max(told.worst[i], value);
  }
  std::printf("\n");
  std::fflush(stdout);
}

// Another song, by the same machine: no number may be given. How many rows gave one.
int play_stranger(Manner manner, std::uint64_t seed) {
  const auto piece = play_piece(manner, 90.0, seed * 131 + static_cast<std::uint64_t>(manner), {.seed = 5});
  const auto other = play_piece(manner, 90.0, seed * 737 + static_cast<std::uint64_t>(manner), {.seed = 9});
  int given = 0;
  for (const Row& row : followed(played(other, seed, false), at_song_rate(piece, kPieceRate_hz)))
    given += row.percent ? 1 : 0;
  std::printf("%-15s  of a stranger %d numbers%s\n", std::string(name_of(manner)).c_str(), given, given > 0 ? "!" : "");
  std::fflush(stdout);
  return given;
}

}  // namespace
}  // namespace four76::scenes

int main(int argc, char** argv) {
  using namespace four76::scenes;
  bool worn = false;
  std::optional<Manner> chosen;
  for (int i = 2; i < argc; ++i) {
    const std::string_view word = argv[i];
    bool known = word == "worn";
    worn = worn || known;
    for (int manner = 0; manner < kManners; ++manner)
      if (word == name_of(static_cast<Manner>(manner))) chosen = static_cast<Manner>(manner), known = true;
    if (!known) argc = 0;
  }
  if (argc < 2) return std::fprintf(stderr, "usage: four76_song_live SEED [MANNER] [worn]\n"), 2;
  const std::uint64_t seed = std::strtoull(argv[1], nullptr, 10);
  Told told;
  for (int i = 0; i < kManners; ++i)
    if (!chosen || *chosen == static_cast<Manner>(i)) play(static_cast<Manner>(i), seed, worn, told);
  for (int i = 0; i < kManners; ++i)
    if (!chosen || *chosen == static_cast<Manner>(i)) told.given += play_stranger(static_cast<Manner>(i), seed);
  Promises promises;
  for (std::size_t i = 0; i < kPromises; ++i)
    promises.keep(told.held[i] == told.manners, "%s: %d of %d manners, the worst %.3f (%.1f at most)", kNames[i],
                  told.held[i], told.manners, told.worst[i], (worn ? kMostWorn : kMost)[i]);
  promises.keep(told.given == 0, "stranger: %d numbers (none)", told.given);
  return promises.status();
}
