// WowSpread: how far wow moves the slope of a line through the phase, from what it leaves along the other polynomials.
//
// Wow reaches the slope (the projection on P_1) in two ways. What is slow, of a density S next to 0 Hz, puts
// S T/2 slope_weight(n) into the square of each projection; less into the higher ones where the density falls off above
// one turn in the stretch, as the random wow of a worn machine does. What is fast leaks: far from 0 Hz all orders'
// responses fall alike (spherical Bessel's j_n(x) / x goes as 1 / x^2), so that a line or a band puts the same L into
// each. All three are fitted to the squares that are seen, as the likeliest variances of Gaussian projections (maximum
// likelihood), beside what noise puts there; then the slope's own variance follows. The density alone, as if all were
// slow, makes a reel's wow many times too large: n = 5 lets it through with 86 times the share that the slope does.
#pragma once

#include <cstddef>
#include <span>

namespace four76 {

// Integral over -1 to 1 of the square of the integral of P_n, from (2n+1) P_n = P'_{n+1} - P'_{n-1}.
[[nodiscard]] double slope_weight(double n) noexcept;

// Standard deviation of the slope by wow, in units of b over seconds. `b`: projections on P_2, P_3, ... over total_s
// seconds; `noise`: the variance that noise puts into each.
[[nodiscard]] double wow_slope_sigma_hz(std::span<const double> b, std::span<const double> noise,
                                        double total_s) noexcept;

}  // namespace four76
