// WowProjection: what a stretch of knots holds beside its mean speed: the residual phase along Legendre's polynomials
// (see mean_speed.hpp), the plain mean, and what went unseen.
#pragma once

#include <array>
#include <cstddef>
#include <span>

#include "core/tone/mean_speed.hpp"
#include "core/tone/phase_knot.hpp"

namespace four76 {

struct WowProjection {
  static constexpr std::size_t kMostOrders = 8;
  std::array<double, kMostOrders> b{};  // (2/T) integral of the residual phase times P_n, n = 2, 3, ...; cycles
  double plain_hz = 0.0;                // plain mean of the residual frequency
  double unseen_s = 0.0;                // root of the sum of squares of the gaps' lengths, the edges among them
  double deviation_hz = 0.0;            // RMS of the residual frequency from knot to knot
  double plain_s = 0.0;                 // the time behind plain_hz
  double ends_s = 0.0;                  // sum of the inverse spans of the knots at its ends, 1/s

  // What noise does to plain_hz: a knot's phase is known to sqrt(N0/C / (2 span)) radians.
  [[nodiscard]] double ends_hz(double noise_to_carrier) const noexcept;
};

// How many polynomials: enough to be sure, few enough to stay near 0 Hz (order n looks at about n / 2T).
[[nodiscard]] std::size_t wow_orders(double trusted_s) noexcept;

// Integral over -1 to 1 of the square of the integral of P_n, from (2n+1) P_n = P'_{n+1} - P'_{n-1}.
[[nodiscard]] double slope_weight(double n) noexcept;

// `mean` holds the frequency that was fitted, the stretch's beginning and its trusted time.
[[nodiscard]] WowProjection project_wow(std::span<const PhaseKnot> knots, const MeanSpeed& mean,
                                        std::size_t orders) noexcept;

}  // namespace four76
