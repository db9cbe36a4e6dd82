#include "core/flutter/quasi_peak.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

namespace four76 {

namespace {

// Derived by fit to the pulse table: see the header.
constexpr double kPeakRiseS = 0.039, kPeakFallS = 1.13, kTimeS = 0.161;
constexpr double kReferenceHz = 4.0;
constexpr double kReferenceS = 5.0;  // four times the slowest of the three

double share_of_step(double time_constant_s, double point_rate_hz) noexcept {
  return -std::expm1(-1.0 / (time_constant_s * point_rate_hz));
}

}  // namespace

QuasiPeak::QuasiPeak(const Config& config) noexcept
    : rise_share_(share_of_step(kPeakRiseS, config.point_rate_hz)),
      fall_keep_(1.0 - share_of_step(kPeakFallS, config.point_rate_hz)),
      time_share_(share_of_step(kTimeS, config.point_rate_hz)) {
  assert(config.point_rate_hz > 0.0);
  double most = 0.0;
  const auto points = static_cast<int>(kReferenceS * config.point_rate_hz);
  for (int n = 0; n < points; ++n)
    most = std::max(most, process(std::sin(2.0 * std::numbers::pi * kReferenceHz * n / config.point_rate_hz)));
  scale_ = 1.0 / most;
  reset();
}

double QuasiPeak::process(double weighted) noexcept {
  above_ *= fall_keep_;
  below_ *= fall_keep_;
  if (weighted > above_) above_ += rise_share_ * (weighted - above_);
  if (-weighted > below_) below_ += rise_share_ * (-weighted - below_);
  const double peak_to_peak = std::max(weighted + below_, above_ - weighted);
  shown_ += time_share_ * (0.5 * peak_to_peak - shown_);
  return reading();
}

}  // namespace four76
