#include "core/signal/uncertainty.hpp"

#include <cmath>
#include <numbers>

namespace four76 {

using std::numbers::pi;

double cramer_rao_sigma_hz(double carrier_to_noise_hz, double window_s) noexcept {
  return std::sqrt(3.0 / (2.0 * pi * pi * carrier_to_noise_hz * window_s * window_s * window_s));
}

double phase_fit_leakage(double rate_hz, double window_s) noexcept {
  const double x = pi * rate_hz * window_s;
  if (std::abs(x) < 0.05) return 1.0 - x * x / 10.0;
  return std::abs(3.0 * (std::sin(x) - x * std::cos(x)) / (x * x * x));
}

}  // namespace four76
