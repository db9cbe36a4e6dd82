#include "core/tone/zoom_spectrum.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "core/signal/spectrum.hpp"

namespace four76 {

namespace {
constexpr double kHalfWidthHz = 300.0;
constexpr double kAveragingS = 2.0;
constexpr double kFollowHz = 40.0;  // the picture jumps when the tone has moved so far
}  // namespace

ZoomSpectrum::ZoomSpectrum(double point_rate_hz)
    : fft_(kSize),
      bin_hz_(point_rate_hz / static_cast<double>(kSize)),
      keep_(std::exp(-static_cast<double>(kSize / 2) / point_rate_hz / kAveragingS)),
      window_(hann_window(kSize)),
      ring_(kSize),
      frame_(kSize),
      half_bins_(static_cast<std::size_t>(kHalfWidthHz / bin_hz_)) {
  half_bins_ = std::min(half_bins_, kSize / 2 - 1);
  power_.resize(2 * half_bins_ + 1);
}

void ZoomSpectrum::reset() noexcept {
  std::fill(power_.begin(), power_.end(), 0.0F);
  fill_ = 0;
  frames_ = 0;
  centre_hz_ = 0.0;
}

double ZoomSpectrum::first_hz() const noexcept { return centre_hz_ - static_cast<double>(half_bins_) * bin_hz_; }

void ZoomSpectrum::process(std::span<const TrackPoint> points, double tone_hz) noexcept {
  if (std::abs(tone_hz - centre_hz_) > kFollowHz) {
    reset();
    centre_hz_ = std::round(tone_hz);
  }
  for (const TrackPoint& point : points) {
    const double cycles = point.predicted_cycles - centre_hz_ * point.time_s;
    const double angle = 2.0 * std::numbers::pi * (cycles - std::floor(cycles));
    ring_[fill_++] =
        point.residual * std::complex<float>(static_cast<float>(std::cos(angle)), static_cast<float>(std::sin(angle)));
    if (fill_ < kSize) continue;
    add_frame();
    std::copy(ring_.begin() + kSize / 2, ring_.end(), ring_.begin());
    fill_ = kSize / 2;
  }
}

void ZoomSpectrum::add_frame() noexcept {
  for (std::size_t n = 0; n < kSize; ++n) frame_[n] = ring_[n] * window_[n];
  const auto bins = fft_.transform(frame_);
  ++frames_;
  const auto keep = static_cast<float>(std::min(keep_, 1.0 - 1.0 / static_cast<double>(frames_)));
  constexpr float kScale = 4.0F / (static_cast<float>(kSize) * static_cast<float>(kSize));
  for (std::size_t i = 0; i < power_.size(); ++i) {
    const std::size_t bin = (i + kSize - half_bins_) % kSize;
    power_[i] = keep * power_[i] + (1.0F - keep) * kScale * std::norm(bins[bin]);
  }
}

}  // namespace four76
