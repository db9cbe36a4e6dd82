// WowProjection: what a stretch of knots holds beside its mean speed.
//
// The segments' residual phases are joined end to end, the gaps between them closed, and projected on Legendre's
// polynomials over the whole (see mean_speed.hpp). Beside that: the plain mean, and how much went unseen.
#pragma once

#include <array>
#include <cstddef>
#include <span>

#include "core/tone/mean_speed.hpp"
#include "core/tone/phase_knot.hpp"

namespace four76 {

struct WowProjection {
  static constexpr std::size_t kMostOrders = 12;
  std::array<double, kMostOrders> b{};      // (2/T) integral of the joined phase times P_n, n = 2, 3, ...; cycles
  std::array<double, kMostOrders> noise{};  // variance that noise of N0/C = 1/Hz puts into each, cycles^2
  double joined_s = 0.0;                    // T
  double slope_hz = 0.0;                    // of a line through the joined phase: its projection on P_1
  double plain_hz = 0.0;                    // plain mean of the residual frequency
  double unseen_s = 0.0;                    // root of the sum of squares of the gaps' lengths, the edges among them
  double deviation_hz = 0.0;                // RMS of the residual frequency from knot to knot
  double plain_s = 0.0;                     // the time behind plain_hz
  double ends_s = 0.0;                      // sum of the inverse spans of the knots at its ends, 1/s

  // What noise does to plain_hz: a knot's phase is known to sqrt(N0/C / (2 span)) radians.
  [[nodiscard]] double ends_hz(double noise_to_carrier) const noexcept;
};

// `mean` holds the frequency that was fitted, the stretch's beginning and its trusted time.
[[nodiscard]] WowProjection project_wow(std::span<const PhaseKnot> knots, const MeanSpeed& mean) noexcept;

}  // namespace four76
