#include "core/tapes/lines/steady_lines.hpp"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <complex>
#include <numbers>

#include "core/signal/statistics.hpp"

namespace four76 {

namespace {
constexpr double kTau = 2.0 * std::numbers::pi;
constexpr std::ptrdiff_t kFloorReach = 8, kFloorGap = 3;  // the gap: Hann's main lobe, and one
constexpr float kMedianOfExponential = 0.693F;            // ln 2
constexpr std::size_t kBlock = 64;                        // samples for which a phasor is turned step by step
}  // namespace

float floor_beside(std::span<const float> power, std::ptrdiff_t bin) noexcept {
  std::array<float, 2 * (kFloorReach - kFloorGap + 1)> beside;
  std::size_t count = 0;
  for (std::ptrdiff_t away = kFloorGap; away <= kFloorReach; ++away)
    for (const std::ptrdiff_t at : {bin - away, bin + away})
      beside[count++] = power[static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(at, 1, std::ssize(power) - 1))];
  return std::max(1e-20F, median_of(std::span<float>(beside)) / kMedianOfExponential);
}

void take_line_out(std::span<float> samples, std::span<const float> window, double cycles_per_sample) noexcept {
  assert(samples.size() % kBlock == 0 && window.size() == samples.size() && "whole blocks, and a window as long");
  const auto turn = std::polar(1.0F, static_cast<float>(kTau * cycles_per_sample));
  const auto phasor = [&](std::size_t n) {
    const double cycles = std::remainder(cycles_per_sample * static_cast<double>(n), 1.0);
    return std::polar(1.0F, static_cast<float>(kTau * cycles));
  };
  const float half = 0.5F * static_cast<float>(samples.size());
  const auto place = [&](std::size_t n) { return (static_cast<float>(n) + 0.5F) / half - 1.0F; };  // -1 to 1
  std::complex<double> level{}, slope{};
  for (std::size_t from = 0; from < samples.size(); from += kBlock) {
    std::complex<float> at = phasor(from), sum{}, lever{};
    for (std::size_t n = from; n < from + kBlock; ++n, at *= turn) {
      const auto part = window[n] * samples[n] * std::conj(at);
      sum += part;
      lever += place(n) * part;
    }
    level += sum;
    slope += lever;
  }
  // The sums of Hann's window and of its second moment: the mean of (1 + cos pi p) / 2 and of that times p^2.
  const double area = 0.5 * static_cast<double>(samples.size());
  const double moment = area * (1.0 / 3.0 - 2.0 / (std::numbers::pi * std::numbers::pi));
  const auto a = std::complex<float>(2.0 * level / area), b = std::complex<float>(2.0 * slope / moment);
  for (std::size_t from = 0; from < samples.size(); from += kBlock) {
    std::complex<float> at = phasor(from);
    for (std::size_t n = from; n < from + kBlock; ++n, at *= turn) samples[n] -= ((a + place(n) * b) * at).real();
  }
}

}  // namespace four76
