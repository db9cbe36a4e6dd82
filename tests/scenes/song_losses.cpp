// four76_song_losses SEED COUNT [all] [KIND]: tapes of songs captured by a device that loses, adds or repeats samples
// without end. The truth is the tape's own speed. Prints each case whose figure is wrong without a word, or all, and
// for each kind how many matched, how many of these wrongly, and how many were said to have lost samples.
//
// Promised; the status is 1 where one does not hold:
// - no figure is wrong without a word: none is off by more than a hundredth of a percent and than its own u95;
// - a sound device is not accused, and 19 of 20 of its tapes match.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <random>
#include <string>
#include <vector>

#include "core/song/loss_comb.hpp"
#include "core/song/song_match.hpp"
#include "tests/scenes/promises.hpp"
#include "tests/scenes/song_pieces.hpp"
#include "tests/scenes/song_tape.hpp"

namespace four76::scenes {
namespace {

using Samples = std::vector<float>;

enum class Loss { none, few_of_block, few_of_time, much_of_block, zeros, blanks, repeats, concealed, dropped, single };
constexpr int kLosses = 10;
constexpr std::array<const char*, kLosses> kNames{"none",   "few_of_block", "few_of_time", "much_of_block", "zeros",
                                                  "blanks", "repeats",      "concealed",   "dropped",       "single"};

class Device {
 public:
  Device(double rate_hz, std::uint64_t seed) : rate_hz_(rate_hz), random_(seed) {}

  Samples mistreat(const Samples& in, Loss loss) {
    switch (loss) {
      case Loss::none: return in;
      case Loss::few_of_block: return slipped(in, 2048, whole(3, 12));
      case Loss::few_of_time: return slipped(in, samples_in(0.2), whole(5, 20));
      case Loss::much_of_block: return slipped(in, 2048, whole(100, 500));
      case Loss::zeros: return again_and_again(in, 0.5, 2.0, &Device::insert_zeros);
      case Loss::blanks: return again_and_again(in, 0.5, 2.0, &Device::blank);
      case Loss::repeats: return again_and_again(in, 0.5, 3.0, &Device::repeat);
      case Loss::concealed: return again_and_again(in, 0.3, 2.0, &Device::conceal);
      case Loss::dropped: return again_and_again(in, 0.3, 2.0, &Device::drop);
      case Loss::single: return again_and_again(in, 8.0, 16.0, &Device::drop);
    }
    return in;
  }

 private:
  // Each appends what becomes of the samples from `at` on, and says how many it took.
  using Mistreatment = std::size_t (Device::*)(const Samples& in, std::size_t at, Samples& out);

  double uniform(double from, double to) { return std::uniform_real_distribution<>(from, to)(random_); }
  std::size_t whole(int from, int to) {
    return static_cast<std::size_t>(std::uniform_int_distribution<>(from, to)(random_));
  }
  [[nodiscard]] std::size_t samples_in(double seconds) const { return static_cast<std::size_t>(seconds * rate_hz_); }

  static Samples slipped(const Samples& in, std::size_t period, std::size_t lost) {
    Samples out;
    for (std::size_t n = 0; n < in.size(); ++n)
      if (n % period >= lost) out.push_back(in[n]);
    return out;
  }

  // On average as far apart as one such device, drawn once, has it; half of the devices are regular.
  Samples again_and_again(const Samples& in, double least_s, double most_s, Mistreatment mistreatment) {
    const double apart_s = uniform(least_s, most_s);
    const double irregular = uniform(0.0, 1.0) < 0.5 ? 0.0 : 0.6;
    length_ = uniform(0.0, 1.0) < 0.5 ? 441 : 1024;
    Samples out;
    std::size_t at = 0;
    while (at < in.size()) {
      const std::size_t next =
          std::min(in.size(), at + samples_in(apart_s * uniform(1.0 - irregular, 1.0 + irregular)));
      out.insert(out.end(), in.begin() + static_cast<std::ptrdiff_t>(at),
                 in.begin() + static_cast<std::ptrdiff_t>(next));
      at = next;
      if (at > 2 * length_ && at + 4 * length_ < in.size()) at += (this->*mistreatment)(in, at, out);
    }
    return out;
  }
  std::size_t insert_zeros(const Samples&, std::size_t, Samples& out) {
    out.insert(out.end(), length_, 0.0F);
    return 0;
  }
  std::size_t blank(const Samples&, std::size_t, Samples& out) {
    out.insert(out.end(), length_, 0.0F);
    return length_;
  }
  std::size_t repeat(const Samples& in, std::size_t at, Samples& out) {
    const auto end = in.begin() + static_cast<std::ptrdiff_t>(at);
    out.insert(out.end(), end - static_cast<std::ptrdiff_t>(length_), end);
    return 0;
  }
  std::size_t drop(const Samples&, std::size_t, Samples&) { return length_; }
  std::size_t conceal(const Samples& in, std::size_t at, Samples& out) {
    const std::size_t fade = samples_in(uniform(0.002, 0.01));
    for (std::size_t n = 0; n < fade; ++n) {
      const float x = static_cast<float>(n) / static_cast<float>(fade);
      out.push_back((1.0F - x) * in[at + n] + x * in[at + length_ + n]);
    }
    return length_ + fade;
  }

  double rate_hz_;
  std::mt19937_64 random_;
  std::size_t length_ = 441;
};

struct Tally {
  int cases = 0, matched = 0, wrong = 0, noticed = 0;
};

SongTape any_tape(std::mt19937_64& random) {
  const auto uniform = [&](double from, double to) { return std::uniform_real_distribution<>(from, to)(random); };
  SongTape tape;
  tape.error_percent = uniform(-10.0, 10.0);
  tape.seconds = uniform(30.0, 50.0);
  tape.from_s = uniform(2.0, 180.0 - 1.35 * tape.seconds - 6.0);
  const double wow = uniform(0.05, 0.5);
  tape.wow = {{uniform(0.4, 2.0), wow * 0.6, uniform(0.0, 6.28)}, {uniform(2.0, 10.0), wow * 0.4, uniform(0.0, 6.28)}};
  tape.rate_hz = uniform(0.0, 1.0) < 0.5 ? 44100.0 : 48000.0;
  tape.signal_to_noise_db = uniform(10.0, 25.0);
  tape.reverberation_s = uniform(0.0, 0.6);
  tape.inverted = uniform(0.0, 1.0) < 0.5;
  tape.level = 0.3;
  tape.seed = random();
  return tape;
}

void play_case(int index, std::uint64_t seed, bool all, int only, std::array<Tally, kLosses>& tallies) {
  std::mt19937_64 random(seed * 1000003 + static_cast<std::uint64_t>(index));
  const auto manner = static_cast<Manner>((index + index / kLosses) % kManners);
  const int kind = only >= 0 ? only : index % kLosses;
  const auto piece = play_piece(manner, 180.0, random(), {.seed = 11});
  const SongTape tape = any_tape(random);
  const Samples heard = Device(tape.rate_hz, random()).mistreat(record(piece, tape), static_cast<Loss>(kind));
  TapeLosses losses(tape.rate_hz, 1);
  losses.process(heard);
  const LostSamples lost = losses.found();
  const SongMatch match = *match_song(at_song_rate(piece, kPieceRate_hz), at_song_rate(heard, tape.rate_hz), {}, lost);
  Tally& tally = tallies[static_cast<std::size_t>(kind)];
  ++tally.cases;
  const bool matched = match.status == SongStatus::matched;
  const double error = match.fit ? match.fit->speed_error_percent - tape.error_percent : 0.0;
  const bool wrong = matched && std::abs(error) > std::max(0.01, match.fit->u95_percent);
  tally.matched += matched ? 1 : 0;
  tally.wrong += wrong ? 1 : 0;
  tally.noticed += std::ranges::find(match.reasons, SongReason::capture_gap) != match.reasons.end() ? 1 : 0;
  if (!all && !wrong) return;
  std::printf("%3d %-13s %-14s rate %5.0f set %+8.4f snr %2.0f rt %.1f | %s", index,
              kNames[static_cast<std::size_t>(kind)], std::string(name_of(manner)).c_str(), tape.rate_hz,
              tape.error_percent, tape.signal_to_noise_db, tape.reverberation_s,
              std::string(name_of(match.status)).c_str());
  if (match.fit)
    std::printf(" off %+.4f u %.4f held %.2f rough %.2f scatter %.2f ms edits %d z %.2f pitch %+.4f u %.4f", error,
                match.fit->u95_percent, match.fit->held_share, 1e3 * match.fit->rough_s, 1e3 * match.fit->scatter_s,
                match.fit->edits, match.fit->evidence, match.fit->pitch_percent.value_or(9.0),
                match.fit->pitch_u95_percent.value_or(9.0));
  if (match.fit)
    if (const auto comb = sure_comb(at_song_rate(piece, kPieceRate_hz), at_song_rate(heard, tape.rate_hz), match.path))
      std::printf(" sure comb %.2f ms strength %.1f phase %.2f between %.2f", 1e3 * comb->period_s, comb->strength,
                  comb->in_phase, comb->between);
  std::printf(" lost %d, %.3f s;", lost.places, lost.seconds);
  for (const SongReason reason : match.reasons) std::printf(" %s", std::string(name_of(reason)).c_str());
  std::printf("%s\n", wrong ? " WRONG" : "");
  std::fflush(stdout);
}

int run(std::uint64_t seed, int count, bool all, int only) {
  std::array<Tally, kLosses> tallies;
  for (int i = 0; i < count; ++i) play_case(i, seed, all, only, tallies);
  int wrong = 0;
  for (std::size_t i = 0; i < tallies.size(); ++i) {
    const Tally& tally = tallies[i];
    wrong += tally.wrong;
    if (tally.cases > 0)
      std::printf("%-14s %3d: matched %3d, wrong %3d, noticed %3d\n", kNames[i], tally.cases, tally.matched,
                  tally.wrong, tally.noticed);
  }
  const Tally& sound = tallies[static_cast<std::size_t>(Loss::none)];
  Promises promises;
  promises.keep(wrong == 0, "%d of %d figures wrong without a word (none)", wrong, count);
  if (sound.cases > 0) {
    promises.keep(sound.noticed == 0, "%d of %d sound devices accused (none)", sound.noticed, sound.cases);
    promises.keep(20 * (sound.cases - sound.matched) <= sound.cases, "%d of %d tapes by sound devices match (19 of 20)",
                  sound.matched, sound.cases);
  }
  return promises.status();
}

}  // namespace
}  // namespace four76::scenes

int main(int argc, char** argv) try {
  using namespace four76::scenes;
  bool all = false;
  int only = -1;
  bool understood = argc >= 3;
  for (int i = 3; i < argc; ++i) {
    const std::string word = argv[i];
    bool known = word == "all";
    all = all || known;
    for (int kind = 0; kind < kLosses; ++kind)
      if (word == kNames[static_cast<std::size_t>(kind)]) only = kind, known = true;
    understood = understood && known;
  }
  if (!understood) return std::fprintf(stderr, "usage: four76_song_losses SEED COUNT [all] [KIND]\n"), 2;
  return run(std::strtoull(argv[1], nullptr, 10), std::atoi(argv[2]), all, only);
} catch (const std::exception& fault) {
  std::fprintf(stderr, "four76_song_losses: %s\n", fault.what());
  return 2;
}
