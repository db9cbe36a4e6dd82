#include "core/tone/interference.hpp"

#include <algorithm>
#include <cmath>

#include "core/signal/spectrum.hpp"
#include "core/signal/statistics.hpp"
#include "core/signal/uncertainty.hpp"

namespace four76 {

namespace {
constexpr double kGuardHz = 12.0;    // the tone with its slow wow
constexpr double kOverFloor = 40.0;  // power over the median of the spectrum
constexpr double kOneSided = 6.0;    // power over its mirror image: a tape's own level flutter unbalances its wow's
constexpr double kLeastRelative = 0.002;  // -54 dB: 0.003 % at 50 Hz off
constexpr double kSameLineHz = 1.5;
constexpr double kGridShare = 0.0004;  // 50 Hz +- 0.02 Hz, the grid's everyday range (common practice)
constexpr double kCombNearGridHz = 2.0;
constexpr double kOnGridHz = 0.25;  // of the peak's own place
}  // namespace

std::optional<double> mains_of(double frequency_hz, double tolerance_hz) noexcept {
  for (const double mains_hz : {50.0, 60.0}) {
    const double order = std::round(frequency_hz / mains_hz);
    if (order >= 1.0 && std::abs(frequency_hz - order * mains_hz) <= tolerance_hz + kGridShare * frequency_hz)
      return mains_hz;
  }
  return std::nullopt;
}

double Interferers::u95_hz(double window_s) const noexcept {
  double square = 0.0;
  for (const Interferer& line : all()) {
    const double distance_hz = line.frequency_hz - tone_hz;
    const double left = line.relative_amplitude * distance_hz * phase_fit_leakage(distance_hz, window_s);
    square += left * left;
  }
  return std::sqrt(square);
}

double Interferers::strongest() const noexcept {
  double largest = 0.0;
  for (const Interferer& line : all()) largest = std::max(largest, line.relative_amplitude);
  return largest;
}

Interferers Interferers::confirmed_by(const Interferers& earlier) const noexcept {
  Interferers kept;
  kept.tone_hz = tone_hz;
  for (const Interferer& line : all())
    if (std::any_of(earlier.all().begin(), earlier.all().end(),
                    [&](const Interferer& e) { return std::abs(e.frequency_hz - line.frequency_hz) < kSameLineHz; }))
      kept.found[kept.count++] = line;
  return kept;
}

double Interferers::swing_hz(bool mains) const noexcept {
  double largest = 0.0;
  for (const Interferer& line : all())
    if ((line.mains_hz > 0.0) == mains)
      largest = std::max(largest, line.relative_amplitude * std::abs(line.frequency_hz - tone_hz));
  return largest;
}

namespace {

// Lines a whole number of 50 or 60 Hz apart are a comb, wherever the grid's frequency stands.
void mark_combs(Interferers& lines) noexcept {
  for (std::size_t i = 0; i < lines.count; ++i)
    for (std::size_t j = i + 1; j < lines.count; ++j) {
      const double apart_hz = std::abs(lines.found[j].frequency_hz - lines.found[i].frequency_hz);
      const auto mains_hz = mains_of(apart_hz, kOnGridHz);
      const bool near_grid = mains_hz && mains_of(lines.found[i].frequency_hz, kCombNearGridHz) == mains_hz;
      if (apart_hz > 40.0 && near_grid) lines.found[i].mains_hz = lines.found[j].mains_hz = *mains_hz;
    }
}

}  // namespace

Interferers find_interferers(std::span<const float> power, double first_hz, double bin_hz, double tone_hz,
                             std::span<float> scratch) noexcept {
  Interferers lines;
  lines.tone_hz = tone_hz;
  if (power.size() < 8) return lines;
  std::copy(power.begin(), power.end(), scratch.begin());
  const auto floor = static_cast<double>(median_of(scratch.first(power.size())));
  const double tone_bin = (tone_hz - first_hz) / bin_hz;
  const auto at = static_cast<std::ptrdiff_t>(std::lround(tone_bin));
  const auto size = static_cast<std::ptrdiff_t>(power.size());
  double tone_power = 0.0;
  for (std::ptrdiff_t k = std::max<std::ptrdiff_t>(0, at - 8); k < std::min(size, at + 9); ++k)
    tone_power += static_cast<double>(power[static_cast<std::size_t>(k)]) / kHannNoiseBandwidthBins;
  if (!(tone_power > 0.0)) return lines;

  for (std::ptrdiff_t k = 1; k + 1 < size && lines.count < Interferers::kMost; ++k) {
    const auto i = static_cast<std::size_t>(k);
    const auto here = static_cast<double>(power[i]);
    if (power[i] < power[i - 1] || power[i] <= power[i + 1] || here < kOverFloor * floor) continue;
    if (std::abs(static_cast<double>(k) - tone_bin) * bin_hz < kGuardHz) continue;
    const double relative = std::sqrt(here / tone_power);
    if (relative < kLeastRelative) continue;
    // The mirror image, with two bins to either side for a tone that wanders.
    const auto mirror = static_cast<std::ptrdiff_t>(std::lround(2.0 * tone_bin)) - k;
    double image = 0.0;
    for (std::ptrdiff_t m = std::max<std::ptrdiff_t>(0, mirror - 2); m < std::min(size, mirror + 3); ++m)
      image = std::max(image, static_cast<double>(power[static_cast<std::size_t>(m)]));
    const auto log_power = [&](std::size_t bin) { return std::log(static_cast<double>(power[bin]) + 1e-30); };
    const auto peak = parabolic_peak(log_power(i - 1), log_power(i), log_power(i + 1));
    const double frequency_hz = first_hz + (static_cast<double>(k) + peak.offset_bins) * bin_hz;
    // A comb of hum about a tone of 3000 Hz is as even as wow: its place, and that of its image, gives it away.
    const auto mains_hz = mains_of(frequency_hz, kOnGridHz);
    const bool image_on_grid = mains_of(2.0 * tone_hz - frequency_hz, kOnGridHz + bin_hz) == mains_hz;
    if (here < kOneSided * image && !(mains_hz && image_on_grid)) continue;
    lines.found[lines.count++] = {frequency_hz, relative, mains_hz.value_or(0.0)};
  }
  mark_combs(lines);
  return lines;
}

}  // namespace four76
