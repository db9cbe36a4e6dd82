// TonePair: two steady tones in the search range, and which of them came off a tape.
//
// A tape's tone wows; what an oscillator, a display or a whistle of the mains makes does not. So one of the two that
// stands as a single line, while the other moves about, is not the tape's.
#pragma once

#include <cmath>

namespace four76 {

// One of the two, at the newest sample that was looked at.
struct SteadyTone {
  double frequency_hz = 0.0;  // mean over the stretch
  double amplitude = 0.0;     // peak, 1 = full scale
  double cycles = 0.0;        // phase at the stretch's newest sample, of a cosine
};

struct TonePair {
  SteadyTone line;                // one frequency over all of the stretch, as far as can be told
  SteadyTone other;               // of constant level, too; its frequency may move
  double other_wander_rad = 0.0;  // root mean square of its phase against a straight line
  bool other_wows = false;        // surely moves, and surely more than the line
  double stretch_s = 0.0;         // that was looked at

  [[nodiscard]] const SteadyTone& nearer_to(double frequency_hz) const noexcept {
    return std::abs(line.frequency_hz - frequency_hz) <= std::abs(other.frequency_hz - frequency_hz) ? line : other;
  }
  [[nodiscard]] const SteadyTone& louder() const noexcept { return line.amplitude >= other.amplitude ? line : other; }
  [[nodiscard]] const SteadyTone& softer() const noexcept { return line.amplitude >= other.amplitude ? other : line; }
};

}  // namespace four76
