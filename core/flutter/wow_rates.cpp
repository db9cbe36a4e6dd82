#include "core/flutter/wow_rates.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "core/signal/spectrum.hpp"
#include "core/signal/statistics.hpp"

namespace four76 {

namespace {
constexpr std::size_t kSize = 1024;
constexpr double kTwoPi = 2.0 * std::numbers::pi;
constexpr double kOverAround = 12.0;
constexpr double kLeastTurns = 2.5;
constexpr std::size_t kAroundBins = 24;  // to either side: 1.2 Hz
}  // namespace

WowRates::WowRates(const Config& config)
    : config_(config), fft_(kSize), frame_(kSize), power_(kSize / 2 + 1), around_(2 * kAroundBins + 1) {}

std::span<const WowSine> WowRates::find(std::span<float> percent) noexcept {
  count_ = 0;
  const auto length = std::min(percent.size(), kLongest);
  percent = percent.last(length);
  while (count_ < kMost) {
    std::fill(frame_.begin(), frame_.end(), 0.0F);
    for (std::size_t i = 0; i < length; ++i) {
      const double window = 0.5 - 0.5 * std::cos(kTwoPi * (static_cast<double>(i) + 0.5) / static_cast<double>(length));
      frame_[i] = static_cast<float>(window) * percent[i];
    }
    const auto bins = fft_.transform(frame_);
    for (std::size_t k = 0; k < power_.size(); ++k) power_[k] = std::norm(bins[k]);
    const std::size_t bin = strongest_bin(length);
    if (bin == 0) break;
    const auto log_power = [&](std::size_t k) { return std::log(static_cast<double>(power_[k]) + 1e-30); };
    const double offset = parabolic_peak(log_power(bin - 1), log_power(bin), log_power(bin + 1)).offset_bins;
    take_out(percent, (static_cast<double>(bin) + offset) * config_.points_hz / static_cast<double>(kSize));
  }
  return {found_.data(), count_};
}

// 0 where none stands out.
std::size_t WowRates::strongest_bin(std::size_t length) noexcept {
  const double bin_hz = config_.points_hz / static_cast<double>(kSize);
  const double span_s = static_cast<double>(length) / config_.points_hz;
  const auto first = static_cast<std::size_t>(std::ceil(std::max(config_.lowest_hz, kLeastTurns / span_s) / bin_hz));
  const auto last = static_cast<std::size_t>(config_.highest_hz / bin_hz);
  std::size_t best = 0;
  for (std::size_t k = std::max<std::size_t>(1, first); k <= last; ++k) {
    if (power_[k] < power_[k - 1] || power_[k] <= power_[k + 1]) continue;
    if (best != 0 && power_[k] <= power_[best]) continue;
    const std::size_t from = k > kAroundBins ? k - kAroundBins : 1;
    const auto around = std::span(power_).subspan(from, std::min(k + kAroundBins + 1, power_.size()) - from);
    std::copy(around.begin(), around.end(), around_.begin());
    const double mean =
        static_cast<double>(median_of(std::span(around_).first(around.size()))) / std::numbers::ln2 + 1e-30;
    if (static_cast<double>(power_[k]) > kOverAround * mean) best = k;
  }
  return best;
}

// Least squares for both parts, weighed by the window: near enough orthogonal over whole turns, exact by the 2x2
// system.
void WowRates::take_out(std::span<float> percent, double rate_hz) noexcept {
  double cc = 0.0;
  double cs = 0.0;
  double ss = 0.0;
  double yc = 0.0;
  double ys = 0.0;
  const auto n = static_cast<double>(percent.size());
  const auto angle_at = [&](std::size_t i) {
    return kTwoPi * rate_hz * (static_cast<double>(i) + 1.0 - n) / config_.points_hz;
  };
  for (std::size_t i = 0; i < percent.size(); ++i) {
    const double window = 0.5 - 0.5 * std::cos(kTwoPi * (static_cast<double>(i) + 0.5) / n);
    const double c = std::cos(angle_at(i));
    const double s = std::sin(angle_at(i));
    cc += window * c * c;
    cs += window * c * s;
    ss += window * s * s;
    yc += window * c * static_cast<double>(percent[i]);
    ys += window * s * static_cast<double>(percent[i]);
  }
  const double determinant = cc * ss - cs * cs;
  WowSine& sine = found_[count_++];
  sine = {.rate_hz = rate_hz};
  if (determinant <= 0.0) return;
  sine.cosine_percent = (yc * ss - ys * cs) / determinant;
  sine.sine_percent = (ys * cc - yc * cs) / determinant;
  for (std::size_t i = 0; i < percent.size(); ++i)
    percent[i] -=
        static_cast<float>(sine.cosine_percent * std::cos(angle_at(i)) + sine.sine_percent * std::sin(angle_at(i)));
}

}  // namespace four76
