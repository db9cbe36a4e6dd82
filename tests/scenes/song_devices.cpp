// four76_song_devices SEED [MANNER] [DEVICE]: a song that is followed while a device loses samples of it, in twelve
// manners: how much of the time there is a number, how far off the worst is, how many lie outside what they claim (and
// farther than a tenth of a percent), and how many of those are bold: without a word of lost samples.
//
// Promised; the status is 1 where one does not hold:
// - a sound device is never accused, and none of its numbers is bold;
// - zeros, repeated blocks and losses now and then: of a hundred numbers one at most is bold, of frequent ones five;
// - a few samples of each block: they bend all numbers until they are noticed, and two fifths of the time they are;
// - many of each block: a number comes in a tenth of the time at most.
// Nothing is promised of losses of which live too little is heard (20 of 10000, 24 and 48 in a quarter second): nearly
// all that is told of them is bold.
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <optional>
#include <random>
#include <span>
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
constexpr double kSeconds = 40.0;
constexpr double kFaultsFrom_s = 10.0;
constexpr double kError_percent = 1.2;
constexpr double kPromised_percent = 0.1;

using Samples = std::vector<float>;
using Random = std::mt19937_64;

std::vector<float> played(std::span<const float> piece, std::uint64_t seed) {
  SongTape tape;
  tape.rate_hz = kRate_hz;
  tape.signal_to_noise_db = 18.0;
  tape.reverberation_s = 0.4;
  tape.wow = {{9.6, 0.08, 0.4}, {2.3, 0.07, 1.0}, {0.8, 0.05, 2.0}};
  tape.error_percent = kError_percent;
  tape.from_s = 20.0;
  tape.seconds = kSeconds;
  tape.seed = seed;
  return record(piece, tape);
}

// From kFaultsFrom_s on, after some of a mean time, so many frames go wrong as `wrong` says: it is given what was put
// out so far and where in the input the loss is, and returns where the input goes on.
using Wrong = std::function<std::size_t(Samples& out, const Samples& in, std::size_t at, Random& random)>;

Samples with_faults(const Samples& in, double mean_s, bool regular, std::uint64_t seed, const Wrong& wrong) {
  Random random(seed);
  std::exponential_distribution<> wait(1.0 / mean_s);
  Samples out;
  std::size_t at = 0;
  double next_s = kFaultsFrom_s;
  while (at < in.size()) {
    const auto until = std::min(in.size(), static_cast<std::size_t>(next_s * kRate_hz));
    for (; at < until; ++at) out.push_back(in[at]);
    if (at < in.size()) at = wrong(out, in, at, random);
    next_s = static_cast<double>(at) / kRate_hz + (regular ? mean_s : 0.02 + wait(random));
  }
  return out;
}

std::size_t between(Random& random, std::size_t least, std::size_t most) {
  return std::uniform_int_distribution<std::size_t>(least, most)(random);
}

Wrong lost(std::size_t least, std::size_t most) {
  return [=](Samples&, const Samples&, std::size_t at, Random& random) { return at + between(random, least, most); };
}

Wrong blank(std::size_t length, bool in_place) {
  return [=](Samples& out, const Samples&, std::size_t at, Random&) {
    out.insert(out.end(), length, 0.0F);
    return in_place ? at + length : at;
  };
}

Wrong repeated(std::size_t length) {
  return [=](Samples&, const Samples&, std::size_t at, Random&) { return at - std::min(at, length); };
}

// The device fades from what came before the loss to what comes after it.
Wrong concealed(std::size_t least, std::size_t most) {
  return [=](Samples& out, const Samples& in, std::size_t at, Random& random) {
    const std::size_t length = between(random, least, most);
    constexpr std::size_t kFade = 240;
    if (at + length + kFade >= in.size()) return in.size();
    for (std::size_t n = 0; n < kFade; ++n) {
      const float x = static_cast<float>(n) / kFade;
      out.push_back((1.0F - x) * in[at + n] + x * in[at + length + n]);
    }
    return at + length + kFade;
  };
}

enum class Promise : std::uint8_t { sound, now_and_then, often, noticed, silent, none };

struct Device {
  const char* name;
  Promise promise;
  double mean_s;
  bool regular;
  Wrong wrong;
};

std::vector<Device> devices() {
  return {
      {"sound", Promise::sound, 1e9, true, lost(1, 1)},
      {"zeros for sound", Promise::now_and_then, 1.3, false, blank(441, true)},
      {"zeros put in", Promise::now_and_then, 1.3, false, blank(1024, false)},
      {"now and then lost", Promise::now_and_then, 1.5, false, lost(128, 1024)},
      {"often lost", Promise::often, 0.4, false, lost(128, 512)},
      {"5 of 2048", Promise::noticed, 2048.0 / kRate_hz, true, lost(5, 5)},
      {"3 of 1024", Promise::noticed, 1024.0 / kRate_hz, true, lost(3, 3)},
      {"8 of 4096", Promise::noticed, 4096.0 / kRate_hz, true, lost(8, 8)},
      {"20 of 10000", Promise::none, 10000.0 / kRate_hz, true, lost(20, 20)},
      {"10 in 0.2 s", Promise::noticed, 0.2, true, lost(10, 10)},
      {"24 in 0.25 s", Promise::none, 0.25, true, lost(24, 24)},
      {"48 in 0.25 s", Promise::none, 0.25, true, lost(48, 48)},
      {"300 of 2048", Promise::silent, 2048.0 / kRate_hz, true, lost(300, 300)},
      {"repeated", Promise::now_and_then, 1.0, false, repeated(1024)},
      {"concealed", Promise::now_and_then, 0.7, false, concealed(64, 960)},
  };
}

struct Told {
  int turns = 0, measured = 0, held = 0, outside = 0, bold = 0, accused = 0;
  double worst = 0.0;
};

Told follow(const Samples& sound, const Samples& reference) {
  SongSession session({.sample_rate_hz = kRate_hz}, reference);
  Told told;
  std::uint64_t dials = 0;
  for (std::size_t at = 0; at + 480 <= sound.size(); at += 480) {
    session.process(std::span(sound).subspan(at, 480));
    if (session.dial_count() == dials || session.time_s() < kFaultsFrom_s) continue;
    dials = session.dial_count();
    const Reading& dial = session.dial();
    ++told.turns;
    const bool accuses = dial.reasons.contains(Reason::capture_gap);
    told.accused += accuses ? 1 : 0;
    if (dial.status != Status::measured) continue;
    ++told.measured;
    const double off = std::abs(*dial.speed_error_percent - kError_percent);
    told.worst = std::max(told.worst, off);
    told.held += off <= *dial.u95_percent ? 1 : 0;
    if (off < std::max(kPromised_percent, *dial.u95_percent)) continue;
    ++told.outside;
    told.bold += accuses ? 0 : 1;
  }
  return told;
}

void print(const char* name, const Device& device, const Told& told) {
  const int measured = std::max(1, told.measured);
  std::printf(
      "%-14s %-17s told %3d %%, held by u95 %5.1f %%, worst %6.3f %%, outside %4d, bold %4d, accused %4d of %d\n", name,
      device.name, 100 * told.measured / std::max(1, told.turns), 100.0 * told.held / measured, told.worst,
      told.outside, told.bold, told.accused, told.turns);
  std::fflush(stdout);
}

void hold(Promises& promises, const Device& device, const Told& told) {
  switch (device.promise) {
    case Promise::sound:
      promises.keep(told.accused == 0 && told.bold == 0, "%s: accused %d times, %d bold (none)", device.name,
                    told.accused, told.bold);
      break;
    case Promise::now_and_then:
      promises.keep(100 * told.bold <= told.measured, "%s: %d of %d numbers bold (1 of 100)", device.name, told.bold,
                    told.measured);
      break;
    case Promise::often:
      promises.keep(20 * told.bold <= told.measured, "%s: %d of %d numbers bold (5 of 100)", device.name, told.bold,
                    told.measured);
      break;
    case Promise::noticed:
      promises.keep(5 * told.accused >= 2 * told.turns, "%s: accused %d times of %d (two fifths)", device.name,
                    told.accused, told.turns);
      break;
    case Promise::silent:
      promises.keep(10 * told.measured <= told.turns, "%s: %d numbers at %d times (a tenth)", device.name,
                    told.measured, told.turns);
      break;
    case Promise::none: break;
  }
}

}  // namespace
}  // namespace four76::scenes

int main(int argc, char** argv) {
  using namespace four76::scenes;
  std::optional<Manner> chosen;
  std::string_view device;
  const auto all = devices();
  for (int i = 2; i < argc; ++i) {
    bool known = false;
    for (int manner = 0; manner < kManners; ++manner)
      if (std::string_view(argv[i]) == name_of(static_cast<Manner>(manner)))
        chosen = static_cast<Manner>(manner), known = true;
    for (const Device& each : all)
      if (std::string_view(argv[i]) == each.name) device = each.name, known = true;
    if (!known) argc = 0;
  }
  if (argc < 2) return std::fprintf(stderr, "usage: four76_song_devices SEED [MANNER] [DEVICE]\n"), 2;
  const std::uint64_t seed = std::strtoull(argv[1], nullptr, 10);
  std::vector<Told> sums(all.size());
  for (int i = 0; i < kManners; ++i) {
    const auto manner = static_cast<Manner>(i);
    if (chosen && *chosen != manner) continue;
    const auto piece = play_piece(manner, 80.0, seed * 131 + static_cast<std::uint64_t>(manner), {.seed = 5});
    const auto reference = at_song_rate(piece, kPieceRate_hz);
    const auto sound = played(piece, seed);
    for (std::size_t d = 0; d < all.size(); ++d) {
      if (!device.empty() && device != all[d].name) continue;
      const Told told = follow(with_faults(sound, all[d].mean_s, all[d].regular, seed + d, all[d].wrong), reference);
      print(std::string(name_of(manner)).c_str(), all[d], told);
      Told& sum = sums[d];
      sum = {sum.turns + told.turns,         sum.measured + told.measured, sum.held + told.held,
             sum.outside + told.outside,     sum.bold + told.bold,         sum.accused + told.accused,
             std::max(sum.worst, told.worst)};
    }
  }
  for (std::size_t d = 0; d < all.size(); ++d)
    if (device.empty() || device == all[d].name) print("all", all[d], sums[d]);
  Promises promises;
  for (std::size_t d = 0; d < all.size(); ++d)
    if (device.empty() || device == all[d].name) hold(promises, all[d], sums[d]);
  return promises.status();
}
