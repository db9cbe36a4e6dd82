#include "tests/scenes/song_draw.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "tests/scenes/song_pieces.hpp"
#include "tests/scenes/speech.hpp"

namespace four76::scenes {
namespace {

// Sentences with pauses of half a second to three between them.
std::vector<float> sentences(std::mt19937_64& random, double seconds) {
  std::uniform_int_distribution<int> any(0, speech_count() - 1);
  std::uniform_real_distribution<> pause_s(0.5, 3.0);
  std::vector<float> out;
  while (static_cast<double>(out.size()) < seconds * kPieceRate_hz) {
    const auto& clip = speech_clip(any(random), kPieceRate_hz);
    out.insert(out.end(), clip.begin(), clip.end());
    out.insert(out.end(), static_cast<std::size_t>(pause_s(random) * kPieceRate_hz), 0.0F);
  }
  return out;
}

}  // namespace

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
    const double at_s = uniform(10.0, 20.0);
    tape.cuts = {{at_s, uniform(0.3, 4.0)}};
  }
  tape.seed = random();
  return tape;
}

void to_the_limit(SongTape& tape) {
  tape.seconds = 30.0;
  tape.signal_to_noise_db = 10.0;
  tape.reverberation_s = 0.6;
  const double wow = tape.wow[0].peak_percent + tape.wow[1].peak_percent;
  for (Sinusoid& part : tape.wow) part.peak_percent *= 0.5 / wow;
}

void to_any_length(SongTape& tape, double piece_s) {
  std::mt19937_64 random(tape.seed + 1);
  const auto uniform = [&](double from, double to) { return std::uniform_real_distribution<>(from, to)(random); };
  tape.seconds = uniform(30.0, 60.0);
  tape.from_s = uniform(2.0, piece_s - 1.12 * tape.seconds - 6.0);
}

void to_rough(SongTape& tape, Rough rough, double piece_s) {
  to_any_length(tape, piece_s);
  std::mt19937_64 random(tape.seed + 2);
  const auto uniform = [&](double from, double to) { return std::uniform_real_distribution<>(from, to)(random); };
  const bool all = rough == Rough::all;
  tape.dropouts.clear();
  tape.cuts.clear();
  if (rough == Rough::talk || all) {
    tape.talk_db = uniform(-10.0, 0.0);
    tape.talk = uniform(0.0, 1.0) < 0.5 ? sentences(random, tape.seconds)
                                        : play_piece(Manner::speech_like, tape.seconds, random(), {.seed = 12});
  }
  if (rough == Rough::cuts || all) {
    constexpr double kMostLeftOut_s = 8.0;
    tape.from_s = std::min(tape.from_s, piece_s - 1.12 * tape.seconds - 6.0 - kMostLeftOut_s);
    const double third_s = tape.seconds / 3.0;
    const double first_s = uniform(0.5, 1.4) * third_s, second_s = uniform(1.6, 2.5) * third_s;
    const double first_out_s = uniform(0.3, 4.0), second_out_s = uniform(0.3, 4.0);
    tape.cuts = {{first_s, first_out_s}, {second_s, second_out_s}};
  }
  if (rough == Rough::phone || all) {
    const double low_hz = uniform(200.0, 400.0), high_hz = uniform(3000.0, 5000.0);
    tape.microphone = Band{low_hz, high_hz};
  }
}

}  // namespace four76::scenes
