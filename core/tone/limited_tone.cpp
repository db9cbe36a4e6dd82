#include "core/tone/limited_tone.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>

namespace four76 {

namespace {

constexpr double kThirdOfLimitedDb = -22.5;

double sum_over(std::span<const float> power, double bin_hz, double from_hz, double to_hz) noexcept {
  double sum = 0.0;
  for (auto k = static_cast<std::size_t>(from_hz / bin_hz); k <= static_cast<std::size_t>(to_hz / bin_hz); ++k)
    sum += static_cast<double>(power[k]);
  return sum;
}

// Power about a frequency, wide enough for its wow, less the noise beside it; nothing where the spectrum does not
// reach.
std::optional<double> power_about(std::span<const float> power, double bin_hz, double hz, double tone_hz) noexcept {
  const double half_hz = std::max(3.0 * bin_hz, 0.01 * hz);
  if (hz + 3.0 * half_hz > static_cast<double>(power.size() - 1) * bin_hz || half_hz > 0.25 * tone_hz)
    return std::nullopt;
  const double noise = (sum_over(power, bin_hz, hz - 3.0 * half_hz, hz - half_hz) +
                        sum_over(power, bin_hz, hz + half_hz, hz + 3.0 * half_hz)) /
                       2.0;
  const double here = sum_over(power, bin_hz, hz - half_hz, hz + half_hz);
  return here > 2.0 * noise ? here - noise : 0.0;
}

}  // namespace

bool is_limited(std::span<const float> power, double bin_hz, double tone_hz) noexcept {
  const auto tone = power_about(power, bin_hz, tone_hz, tone_hz);
  const auto third = power_about(power, bin_hz, 3.0 * tone_hz, tone_hz);
  if (!tone || !third || !(*tone > 0.0)) return false;
  return *third > *tone * std::pow(10.0, kThirdOfLimitedDb / 10.0);
}

}  // namespace four76
