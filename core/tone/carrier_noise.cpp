#include "core/tone/carrier_noise.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "core/signal/spectrum.hpp"
#include "core/signal/statistics.hpp"

namespace four76 {

namespace {
constexpr double kLowestHz = 30.0;
}  // namespace

CarrierNoise::CarrierNoise(const Config& config)
    : config_(config),
      fft_(kSize),
      window_(hann_window(kSize)),
      frame_(kSize),
      ring_(kSize),
      newest_(kSize / 2 + 1),
      scratch_(kSize / 2 + 1) {
  const double bin_hz = config.point_rate_hz / static_cast<double>(kSize);
  first_bin_ = static_cast<std::size_t>(std::ceil(std::min(kLowestHz, config.highest_hz / 4.0) / bin_hz));
  last_bin_ = std::min(kSize / 2 - 1, static_cast<std::size_t>(config.highest_hz / bin_hz));
}

void CarrierNoise::reset() noexcept {
  fill_ = frames_ = 0;
  total_density_ = recent_density_ = 0.0;
}

void CarrierNoise::process(std::span<const float> in_phase, bool valid) noexcept {
  if (!valid) {
    fill_ = 0;
    return;
  }
  for (const float value : in_phase) {
    ring_[fill_++] = value;
    if (fill_ < kSize) continue;
    add_frame();
    std::copy(ring_.begin() + kHop, ring_.end(), ring_.begin());
    fill_ = kSize - kHop;
  }
}

double CarrierNoise::density(std::span<const float> power) const noexcept {
  const auto band = power.subspan(first_bin_, last_bin_ - first_bin_ + 1);
  std::copy(band.begin(), band.end(), scratch_.begin());
  return static_cast<double>(median_of(std::span(scratch_).first(band.size()))) / std::numbers::ln2;
}

void CarrierNoise::add_frame() noexcept {
  double mean = 0.0;
  for (const float value : ring_) mean += static_cast<double>(value) / kSize;
  const auto offset = static_cast<float>(mean);
  for (std::size_t n = 0; n < kSize; ++n) frame_[n] = (ring_[n] - offset) * window_[n];
  const auto bins = fft_.transform(frame_);
  // Hann: the sum of the squared window is 3/8 of its size; one-sided density doubles.
  const double carrier = std::max(mean * mean, 1e-20);
  const double scale = 2.0 / (config_.point_rate_hz * 0.375 * static_cast<double>(kSize)) / carrier;
  for (std::size_t k = 0; k < newest_.size(); ++k) newest_[k] = static_cast<float>(scale) * std::norm(bins[k]);

  ++frames_;
  const double keep = std::min(std::exp(-static_cast<double>(kHop) / config_.point_rate_hz / config_.averaging_s),
                               1.0 - 1.0 / static_cast<double>(frames_));
  const double newest = density(newest_);
  recent_density_ = keep * recent_density_ + (1.0 - keep) * newest;
  total_density_ += newest;
}

std::optional<double> CarrierNoise::recent_noise_to_carrier() const noexcept {
  if (frames_ == 0) return std::nullopt;
  return recent_density_;
}

std::optional<double> CarrierNoise::total_noise_to_carrier() const noexcept {
  if (frames_ == 0) return std::nullopt;
  return total_density_ / static_cast<double>(frames_);
}

}  // namespace four76
