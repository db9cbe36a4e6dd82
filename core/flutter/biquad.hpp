// Biquad: one second-order section of a recursive filter, transposed direct form II, in double precision: with poles at
// 0.035 Hz and 2500 points a second the coefficients lie within 1e-8 of a double zero at z = 1, where float would
// drift.
//
//   H(z) = (b0 + b1 z^-1 + b2 z^-2) / (1 + a1 z^-1 + a2 z^-2)
//
// A small copyable value: coefficients and state. Begin with settle().
#pragma once

#include <cmath>
#include <complex>
#include <numbers>

namespace four76 {

struct Biquad {
  double b0 = 1.0, b1 = 0.0, b2 = 0.0;
  double a1 = 0.0, a2 = 0.0;
  double s1 = 0.0, s2 = 0.0;

  double process(double x) noexcept {
    const double y = b0 * x + s1;
    s1 = b1 * x - a1 * y + s2;
    s2 = b2 * x - a2 * y;
    return y;
  }

  // Sets the state as if the input had always been `x`; returns the output that belongs to it.
  double settle(double x) noexcept {
    const double y = x * (b0 + b1 + b2) / (1.0 + a1 + a2);
    s2 = b2 * x - a2 * y;
    s1 = b1 * x - a1 * y + s2;
    return y;
  }

  [[nodiscard]] std::complex<double> response(double cycles_per_point) const noexcept {
    const std::complex<double> delay = std::polar(1.0, -2.0 * std::numbers::pi * cycles_per_point);
    return (b0 + delay * (b1 + delay * b2)) / (1.0 + delay * (a1 + delay * a2));
  }
};

}  // namespace four76
