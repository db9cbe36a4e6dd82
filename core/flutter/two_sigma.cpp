#include "core/flutter/two_sigma.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {

namespace {

constexpr double kLeastPercent = 1e-6, kMostPercent = 100.0;
constexpr double kBinRatio = 1.0025;
constexpr std::uint16_t kVoid = 0xFFFF;

// Bin 0 holds what is below the least; bin k from kLeastPercent * kBinRatio^(k - 1) on.
std::size_t bin_count() noexcept {
  return static_cast<std::size_t>(std::ceil(std::log(kMostPercent / kLeastPercent) / std::log(kBinRatio))) + 1;
}

std::uint16_t bin_of(double magnitude, std::size_t bins) noexcept {
  static const double per_neper = 1.0 / std::log(kBinRatio);
  if (!(magnitude >= kLeastPercent)) return 0;
  const double position = 1.0 + std::log(magnitude / kLeastPercent) * per_neper;
  return static_cast<std::uint16_t>(std::min(position, static_cast<double>(bins - 1)));
}

}  // namespace

TwoSigma::TwoSigma(const Config& config) : bins_(bin_count()), window_(config.window_points) { reset(); }

void TwoSigma::reset() noexcept {
  std::fill(bins_.begin(), bins_.end(), 0);
  std::fill(window_.begin(), window_.end(), kVoid);
  next_ = 0;
  count_ = 0;
}

void TwoSigma::add(double deviation_percent) noexcept {
  const std::uint16_t bin = bin_of(std::abs(deviation_percent), bins_.size());
  ++bins_[bin];
  ++count_;
  slide(bin);
}

void TwoSigma::add_void() noexcept { slide(kVoid); }

void TwoSigma::slide(std::uint16_t newest) noexcept {
  if (window_.empty()) return;
  const std::uint16_t oldest = window_[next_];
  window_[next_] = newest;
  next_ = next_ + 1 == window_.size() ? 0 : next_ + 1;
  if (oldest == kVoid) return;
  --bins_[oldest];
  --count_;
}

std::optional<double> TwoSigma::percent() const noexcept {
  if (count_ == 0) return std::nullopt;
  double to_pass = kExceeded * static_cast<double>(count_);  // from the top
  for (std::size_t bin = bins_.size(); bin-- > 1;) {
    const auto held = static_cast<double>(bins_[bin]);
    if (held > 0.0 && held >= to_pass) {
      const double from_top = to_pass / held;
      return kLeastPercent * std::pow(kBinRatio, static_cast<double>(bin) - from_top);
    }
    to_pass -= held;
  }
  return 0.0;
}

}  // namespace four76
