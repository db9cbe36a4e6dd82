// four76_song_scenes SEED COUNT [all] [same] [limit] [lengths] [MANNER] [--jobs N] [--table FILE] [--svg FILE]: songs
// on tapes with a known truth, and what must not match. Prints each case that went wrong, or all, and the shares at the
// end; its status is 1 where a promise did not hold. `same` leaves out what must not match; `limit` has every tape as
// bad as the promise goes: 30 s, 10 dB, 0.6 s of reverberation and 0.5 % of wow; `lengths` draws each tape's length
// from the promise's own 30 to 60 s, at the limit or not; a manner's name plays only that.
#include <algorithm>
#include <atomic>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <mutex>
#include <optional>
#include <random>
#include <string>
#include <thread>
#include <vector>

#include "core/song/song_match.hpp"
#include "tests/bench/proof_files.hpp"
#include "tests/bench/song_proof.hpp"
#include "tests/scenes/song_pieces.hpp"
#include "tests/scenes/song_tape.hpp"

namespace four76::scenes {
namespace {

struct Choice {
  bool all = false, negatives = true, limit = false, lengths = false;
  std::optional<Manner> manner;
  int jobs = 1;
};

struct Tally {
  int positives = 0, matched = 0, covered = 0, negatives = 0, false_matches = 0;
  std::vector<double> errors;
  double slowest_s = 0.0;
  std::vector<bench::SongCase> cases;
  std::string lines;  // to be printed: several cases are played at once

  void add(const Tally& other) {
    positives += other.positives, matched += other.matched, covered += other.covered;
    negatives += other.negatives, false_matches += other.false_matches;
    errors.insert(errors.end(), other.errors.begin(), other.errors.end());
    cases.insert(cases.end(), other.cases.begin(), other.cases.end());
    slowest_s = std::max(slowest_s, other.slowest_s);
  }
};

template <typename... Values>
void say(Tally& tally, const char* format, Values... values) {
  char text[512];
  std::snprintf(text, sizeof text, format, values...);
  tally.lines += text;
}

SongTape any_tape(std::mt19937_64& random, double piece_s) {
  const auto uniform = [&](double from, double to) { return std::uniform_real_distribution<>(from, to)(random); };
  SongTape tape;
  tape.error_percent = uniform(-10.0, 10.0);
  tape.seconds = uniform(30.0, 50.0);
  tape.from_s = uniform(2.0, piece_s - 1.12 * tape.seconds - 6.0);
  const double wow = uniform(0.05, 0.5);
  const double share = uniform(0.2, 0.8);
  tape.wow = {{uniform(0.4, 2.0), wow * share, uniform(0.0, 6.28)},
              {uniform(2.0, 10.0), wow * (1.0 - share), uniform(0.0, 6.28)}};
  constexpr std::array<double, 9> kRates{8000, 11025, 16000, 22050, 32000, 44100, 48000, 48000, 96000};
  tape.rate_hz = kRates[static_cast<std::size_t>(uniform(0.0, 8.999))];
  tape.signal_to_noise_db = uniform(10.0, 25.0);
  tape.reverberation_s = uniform(0.0, 0.6);
  tape.level = std::pow(10.0, uniform(-2.0, 0.3));
  tape.level_swing_db = uniform(0.0, 6.0);
  tape.inverted = uniform(0.0, 1.0) < 0.5;
  if (uniform(0.0, 1.0) < 0.2) tape.dropouts = {{12.0, 12.0 + uniform(0.1, 2.0)}};
  if (uniform(0.0, 1.0) < 0.15) {
    tape.cut_at_s = uniform(10.0, 20.0);
    tape.cut_s = uniform(0.3, 4.0);
  }
  tape.seed = random();
  return tape;
}

// As bad as the promise goes.
void to_the_limit(SongTape& tape) {
  tape.seconds = 30.0;
  tape.signal_to_noise_db = 10.0;
  tape.reverberation_s = 0.6;
  const double wow = tape.wow[0].peak_percent + tape.wow[1].peak_percent;
  for (Sinusoid& part : tape.wow) part.peak_percent *= 0.5 / wow;
}

// Any length that is promised; what else the tape is stays as it was drawn.
void to_any_length(SongTape& tape, double piece_s) {
  std::mt19937_64 random(tape.seed + 1);
  const auto uniform = [&](double from, double to) { return std::uniform_real_distribution<>(from, to)(random); };
  tape.seconds = uniform(30.0, 60.0);
  tape.from_s = uniform(2.0, piece_s - 1.12 * tape.seconds - 6.0);
}

SongMatch timed_match(const std::vector<float>& reference, const std::vector<float>& tape, Tally& tally) {
  const auto start = std::chrono::steady_clock::now();
  auto match = match_song(reference, tape);
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
  tally.slowest_s = std::max(tally.slowest_s, took.count());
  return *match;
}

void note_match(Tally& tally, const char* kind, Manner manner, const SongTape& tape, const SongMatch& match) {
  say(tally, "%-12s %-15s set %+8.4f %2.0f s snr %4.1f rt %.2f rate %6.0f cut %.1f | %s", kind,
      std::string(name_of(manner)).c_str(), tape.error_percent, tape.seconds, tape.signal_to_noise_db,
      tape.reverberation_s, tape.rate_hz, tape.cut_s, std::string(name_of(match.status)).c_str());
  if (match.fit)
    say(tally, " pitch %+.4f +- %.4f", match.fit->pitch_percent.value_or(9.0),
        match.fit->pitch_u95_percent.value_or(9.0));
  if (match.fit)
    say(tally, " %+8.4f u %.4f held %.2f rough %.2f ms scatter %.2f ms edits %d from %.2f z %.2f best %.2f",
        match.fit->speed_error_percent, match.fit->u95_percent, match.fit->held_share, 1e3 * match.fit->rough_s,
        1e3 * match.fit->scatter_s, match.fit->edits, match.fit->start_s, match.fit->evidence,
        match.fit->best_evidence);
  if (match.fit && match.fit->wow_rms_percent) {
    double square = 0.0;
    for (const Sinusoid& part : tape.wow)
      if (part.rate_hz < 3.6) square += 0.5 * part.peak_percent * part.peak_percent;
    say(tally, " wow %.3f +- %.3f of %.3f", *match.fit->wow_rms_percent, *match.fit->wow_rms_u95_percent,
        std::sqrt(square));
  }
  for (const SongReason reason : match.reasons) tally.lines.append(1, ' ').append(name_of(reason));
  tally.lines += '\n';
}

void positive(Manner manner, const SongTape& tape, const std::vector<float>& piece, const std::vector<float>& reference,
              bool all, Tally& tally) {
  const SongMatch match = timed_match(reference, at_song_rate(record(piece, tape), tape.rate_hz), tally);
  ++tally.positives;
  const bool matched = match.status == SongStatus::matched;
  double error = 0.0;
  if (matched) {
    error = std::abs(match.fit->speed_error_percent - tape.error_percent);
    ++tally.matched;
    tally.errors.push_back(error);
    tally.covered += error <= match.fit->u95_percent ? 1 : 0;
  }
  tally.cases.push_back({"same", manner, tape.error_percent, matched, error, matched ? match.fit->u95_percent : 0.0});
  if (all || !matched || error > match.fit->u95_percent || error > 0.01) note_match(tally, "same", manner, tape, match);
}

void negative(const char* kind, Manner manner, const SongTape& tape, const std::vector<float>& reference,
              const std::vector<float>& played, bool all, Tally& tally) {
  const SongMatch match = timed_match(reference, at_song_rate(played, tape.rate_hz), tally);
  ++tally.negatives;
  const bool wrong = match.status == SongStatus::matched;
  tally.false_matches += wrong ? 1 : 0;
  tally.cases.push_back({.kind = kind, .manner = manner, .matched = wrong});
  if (all || wrong) note_match(tally, kind, manner, tape, match);
}

std::vector<float> noise_or_tone(const SongTape& tape, int kind, std::mt19937_64& random) {
  std::vector<float> out(static_cast<std::size_t>(tape.seconds * tape.rate_hz));
  std::normal_distribution<float> gaussian(0.0F, 0.05F);
  for (std::size_t n = 0; n < out.size(); ++n) {
    if (kind == 0) out[n] = gaussian(random);
    if (kind == 1)
      out[n] = 0.01F * gaussian(random) +
               0.2F * static_cast<float>(std::sin(6.283185307 * 440.0 * static_cast<double>(n) / tape.rate_hz));
  }
  return out;
}

void play_case(int index, std::uint64_t seed, const Choice& choice, Tally& tally) {
  std::mt19937_64 random(seed * 1000003 + static_cast<std::uint64_t>(index));
  const auto manner = static_cast<Manner>(index % kManners);
  if (choice.manner && *choice.manner != manner) return;
  const bool all = choice.all;
  const std::uint64_t score = random();
  const auto piece = play_piece(manner, 180.0, score, {.seed = 11});
  const auto reference = at_song_rate(piece, kPieceRate_hz);
  SongTape tape = any_tape(random, 180.0);
  if (choice.limit) to_the_limit(tape);
  if (choice.lengths) to_any_length(tape, 180.0);
  positive(manner, tape, piece, reference, all, tally);
  if (!choice.negatives) return;
  tape.cut_s = 0.0;
  const auto other = play_piece(manner, choice.lengths ? 75.0 : 65.0, score + 1, {.seed = 12});
  SongTape there = tape;
  there.from_s = 2.0;
  negative("other", manner, there, reference, record(other, there), all, tally);
  const auto again = play_piece(manner, 180.0, score, {.seed = 13, .timing_s = 0.008, .pitch_cents = 4.0});
  negative("again", manner, tape, reference, record(again, tape), all, tally);
  const auto missing =
      at_song_rate(std::span(piece).first(static_cast<std::size_t>(60.0 * kPieceRate_hz)), kPieceRate_hz);
  SongTape late = tape;
  late.from_s = 75.0;
  if (manner != Manner::drum_machine) negative("missing", manner, late, missing, record(piece, late), all, tally);
  negative(index % 3 == 0   ? "noise"
           : index % 3 == 1 ? "tone"
                            : "silence",
           manner, tape, reference, noise_or_tone(tape, index % 3, random), all, tally);
}

// Every case follows from the seed and its number alone, so that they may be played in any order.
Tally play_all(std::uint64_t seed, int count, const Choice& choice) {
  std::vector<Tally> tallies(static_cast<std::size_t>(std::max(0, count)));
  std::atomic<std::size_t> next = 0;
  std::mutex printing;
  const auto work = [&] {
    for (std::size_t i = next++; i < tallies.size(); i = next++) {
      play_case(static_cast<int>(i), seed, choice, tallies[i]);
      const std::lock_guard lock(printing);
      std::printf("%s", tallies[i].lines.c_str());
      std::fflush(stdout);
    }
  };
  std::vector<std::thread> others;
  for (int i = 1; i < choice.jobs; ++i) others.emplace_back(work);
  work();
  for (std::thread& other : others) other.join();
  Tally all;
  for (const Tally& tally : tallies) all.add(tally);
  return all;
}

int run(std::uint64_t seed, int count, const Choice& choice, const bench::ProofFiles& files) {
  Tally tally = play_all(seed, count, choice);
  std::ranges::sort(tally.errors);
  const double median = tally.errors.empty() ? 1.0 : tally.errors[tally.errors.size() / 2];
  const double worst = tally.errors.empty() ? 1.0 : tally.errors.back();
  const double matched = static_cast<double>(tally.matched) / std::max(1, tally.positives);
  const double covered = static_cast<double>(tally.covered) / std::max(1, tally.matched);
  std::printf(
      "matched %.3f of %d, error median %.5f worst %.5f %%, u95 holds in %.3f; false matches %d of %d; slowest %.2f "
      "s\n",
      matched, tally.positives, median, worst, covered, tally.false_matches, tally.negatives, tally.slowest_s);
  files.write([&] { return bench::song_table(tally.cases); },
              [&] { return bench::song_picture(tally.cases, choice.limit); });
  return matched >= 0.98 && median <= bench::kSongMedianPercent && worst <= bench::kSongWorstPercent &&
                 covered >= 0.95 && tally.false_matches == 0
             ? 0
             : 1;
}

}  // namespace
}  // namespace four76::scenes

int main(int argc, char** argv) try {
  using namespace four76::scenes;
  std::vector<std::string> words(argv + 1, argv + argc);
  const auto files = four76::bench::ProofFiles::of(words);
  Choice choice;
  choice.jobs = std::clamp(std::atoi(take(words, "--jobs").c_str()), 1, 64);
  bool understood = words.size() >= 2;
  for (std::size_t i = 2; i < words.size(); ++i) {
    const std::string& word = words[i];
    bool known = word == "all" || word == "same" || word == "limit" || word == "lengths";
    choice.all = choice.all || word == "all";
    choice.negatives = choice.negatives && word != "same";
    choice.limit = choice.limit || word == "limit";
    choice.lengths = choice.lengths || word == "lengths";
    for (int manner = 0; manner < kManners; ++manner)
      if (word == name_of(static_cast<Manner>(manner))) choice.manner = static_cast<Manner>(manner), known = true;
    understood = understood && known;
  }
  if (!understood)
    return std::fprintf(stderr, "usage: four76_song_scenes SEED COUNT [all] [same] [limit] [lengths] [MANNER]\n"), 2;
  return run(std::strtoull(words[0].c_str(), nullptr, 10), std::atoi(words[1].c_str()), choice, files);
} catch (const std::exception& fault) {
  std::fprintf(stderr, "four76_song_scenes: %s\n", fault.what());
  return 2;
}
