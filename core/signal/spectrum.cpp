#include "core/signal/spectrum.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace four76 {

std::vector<float> hann_window(std::size_t size) {
  std::vector<float> window(size);
  for (std::size_t n = 0; n < size; ++n)
    window[n] = static_cast<float>(
        0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * static_cast<double>(n) / static_cast<double>(size)));
  return window;
}

ParabolicPeak parabolic_peak(double before, double middle, double after) noexcept {
  const double curvature = before - 2.0 * middle + after;
  if (!(curvature < 0.0)) return {};
  const double offset = std::clamp(0.5 * (before - after) / curvature, -0.5, 0.5);
  return {offset, -0.25 * (before - after) * offset};
}

AveragedSpectrum::AveragedSpectrum(const Config& config)
    : fft_(config.size),
      bin_hz_(config.sample_rate_hz / static_cast<double>(config.size)),
      keep_(std::exp(-static_cast<double>(config.size) / config.sample_rate_hz / config.averaging_s)),
      window_(hann_window(config.size)),
      ring_(config.size),
      frame_(config.size),
      until_frame_(config.size) {
  const double bins = std::min(std::floor(config.highest_hz / bin_hz_), static_cast<double>(config.size / 2));
  power_.resize(static_cast<std::size_t>(bins) + 1);
}

void AveragedSpectrum::reset() noexcept {
  std::fill(power_.begin(), power_.end(), 0.0F);
  fill_ = 0;
  until_frame_ = ring_.size();
  frames_ = 0;
}

void AveragedSpectrum::process(std::span<const float> samples) noexcept {
  while (!samples.empty()) {
    const std::size_t count = std::min({samples.size(), until_frame_, ring_.size() - fill_});
    std::copy_n(samples.begin(), count, ring_.begin() + static_cast<std::ptrdiff_t>(fill_));
    fill_ = (fill_ + count) % ring_.size();
    until_frame_ -= count;
    samples = samples.subspan(count);
    if (until_frame_ == 0) {
      add_frame();
      until_frame_ = ring_.size();
    }
  }
}

void AveragedSpectrum::add_frame() noexcept {
  const std::size_t size = ring_.size();
  for (std::size_t n = 0; n < size; ++n) frame_[n] = ring_[(fill_ + n) % size] * window_[n];
  const auto bins = fft_.transform(frame_);
  // The window's sum is size/2 and a sine of amplitude 1 splits into two halves: its bin holds size/4.
  const float scale = 16.0F / (static_cast<float>(size) * static_cast<float>(size));
  ++frames_;
  // The first frames are a plain mean, so that the picture stands at once.
  const auto keep = static_cast<float>(std::min(keep_, 1.0 - 1.0 / static_cast<double>(frames_)));
  for (std::size_t k = 0; k < power_.size(); ++k)
    power_[k] = keep * power_[k] + (1.0F - keep) * scale * std::norm(bins[k]);
}

}  // namespace four76
