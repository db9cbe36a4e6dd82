#include "core/flutter/quasi_peak.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

namespace four76 {

namespace {

// Derived: least largest distance from the pulse table, in its tolerances.
constexpr double kSmoothS = 0.0071, kRiseS = 0.0441, kFallS = 0.917;
constexpr double kReferenceHz = 4.0;

double share_of_step(double time_constant_s, double point_rate_hz) noexcept {
  return -std::expm1(-1.0 / (time_constant_s * point_rate_hz));
}

}  // namespace

QuasiPeak::QuasiPeak(const Config& config) noexcept
    : smooth_share_(share_of_step(kSmoothS, config.point_rate_hz)),
      rise_share_(share_of_step(kRiseS, config.point_rate_hz)),
      fall_keep_(1.0 - share_of_step(kFallS, config.point_rate_hz)) {
  assert(config.point_rate_hz > 0.0);
  double most = 0.0;
  const auto points = static_cast<int>(2.0 * config.point_rate_hz);
  for (int n = 0; n < points; ++n)
    most = std::max(most, process(std::sin(2.0 * std::numbers::pi * kReferenceHz * n / config.point_rate_hz)));
  scale_ = 1.0 / most;
  reset();
}

double QuasiPeak::process(double weighted) noexcept {
  smooth_ += smooth_share_ * (std::abs(weighted) - smooth_);
  if (smooth_ > held_)
    held_ += rise_share_ * (smooth_ - held_);
  else
    held_ *= fall_keep_;
  return reading();
}

}  // namespace four76
