#include "core/tone/nominal_tones.hpp"

#include <cmath>

namespace four76 {

std::optional<double> other_standard_tone_hz(double frequency_hz, double nominal_hz) noexcept {
  // A machine on another standard's tape mostly runs within 1.8 % of its own speed; and a reading within 2.5 % of the
  // nominal asked for is taken at its word. (3150 is 5 % above 3000: what lies between +2.5 and +3.1 % stays open.)
  constexpr double kOnTone = 0.018;
  constexpr double kOwnTone = 0.025;
  if (std::abs(frequency_hz / nominal_hz - 1.0) <= kOwnTone) return std::nullopt;
  std::optional<double> nearest;
  for (const double tone_hz : kStandardTonesHz) {
    if (std::abs(tone_hz / nominal_hz - 1.0) <= kOwnTone) continue;
    const double distance = std::abs(frequency_hz / tone_hz - 1.0);
    if (distance <= kOnTone && (!nearest || distance < std::abs(frequency_hz / *nearest - 1.0))) nearest = tone_hz;
  }
  return nearest;
}

}  // namespace four76
