// Music made from a score, in twelve manners, and played by a performer: another performer plays the same score with
// other timing, pitch and phases.
#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

namespace four76::scenes {

enum class Manner {
  chords,
  melody,
  drums_and_bass,
  noisy,
  loop,
  drum_machine,
  flute,
  piano,
  pad,
  speech_like,
  plucked,
  band
};
inline constexpr int kManners = 12;
std::string_view name_of(Manner manner);

struct Performer {
  std::uint64_t seed = 1;
  double timing_s = 0.0;     // RMS off the score's times
  double pitch_cents = 0.0;  // RMS off the score's pitches
};

inline constexpr double kPieceRate_hz = 24000.0;

std::vector<float> play_piece(Manner manner, double seconds, std::uint64_t score_seed, const Performer& performer);

}  // namespace four76::scenes
