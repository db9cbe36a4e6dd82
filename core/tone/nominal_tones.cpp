#include "core/tone/nominal_tones.hpp"

#include <algorithm>
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

std::optional<double> likelier_standard_tone_hz(double frequency_hz, double nominal_hz) noexcept {
  constexpr double kMachinesWithin = 0.025;  // common practice: a portable that runs at all is rarely further off
  const double own = std::abs(frequency_hz / nominal_hz - 1.0);
  std::optional<double> nearest;
  double least = std::min(own, kMachinesWithin);
  for (const double tone_hz : kStandardTonesHz) {
    const double distance = std::abs(frequency_hz / tone_hz - 1.0);
    if (distance >= least) continue;
    // A certificate's 3003.2 Hz is the standard's 3000 Hz.
    if (std::abs(tone_hz / nominal_hz - 1.0) <= kMachinesWithin) continue;
    least = distance;
    nearest = tone_hz;
  }
  return nearest;
}

}  // namespace four76
