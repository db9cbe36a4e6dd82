// Uncertainty: how far a mean frequency can be trusted.
//
// Noise: the Cramer-Rao bound for one real tone of unknown amplitude and phase (Rife and Boorstyn 1974;
// sources.md#the-cramer-rao-bound):
//   sigma_f = sqrt(3 / (2 pi^2 (C/N0) T^3)),  C = A^2/2, N0 one-sided per Hz.
// In terms of a phase measured at times t_i with a standard deviation of sigma_phi cycles each (a straight-line fit):
//   sigma_f = sigma_phi / sqrt(sum (t_i - mean t)^2).
// Wow: a stationary frequency fluctuation of two-sided density S at low frequencies moves the mean of a window T by
//   sigma_f = sqrt(w S / T), w = 1 for a plain mean and 1.2 for a phase fit (whose weight over time is a parabola;
//   derived: integral of (6 t (T-t) / T^3)^2 dt = 1.2 / T).
#pragma once

namespace four76 {

// C/N0 as a ratio times hertz, not in decibels.
double cramer_rao_sigma_hz(double carrier_to_noise_hz, double window_s) noexcept;

inline constexpr double kPhaseFitWindowFactor = 1.2;

// How much of a sinusoidal frequency deviation at `rate_hz` is left in the slope of a phase fit over `window_s`:
//   3 |sin x - x cos x| / x^3, x = pi rate T (derived: Fourier transform of the parabola).
double phase_fit_leakage(double rate_hz, double window_s) noexcept;

}  // namespace four76
