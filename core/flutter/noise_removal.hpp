// Noise removal: a figure of wow and flutter, less what a perfect tone would read in the same noise.
//
// A tone in white noise of density N0 (one-sided, per Hz) is demodulated with a one-sided density of f^2 N0 / C
// Hz^2/Hz, so a band of gain |H| reads n = 100 / nominal * sqrt((N0 / C) integral of f^2 |H|^2 df) percent RMS
// (derived; the integral is the filter's own). Measured over T, the noise's power is known to a relative standard
// uncertainty of
//
//   v = sqrt(1 / (B T) + 0.05^2),
//
// 1 / (B T) for its chance (B: see DeviationFilter::noise_bandwidth_hz), 5 % for N0 / C: CarrierNoise's median over
// some 60 frames and 37 bins gives 3 % at 10 s, and noise is not quite white (derived; the rest common practice).
//
// - RMS: s^2 = m^2 - n^2.
// - Two-sigma: a quantile does not add in power: a sine of peak 1 in noise of sigma 0.2 reads 1.18, of which the power
//   of 1.96 sigma leaves 1.115. The measured ratio of two-sigma to RMS tells how much of the whole is Gaussian; the
//   noise is taken from the Gaussian part, and a sine plus the rest of it reads the figure (derived: exact for a sine,
//   for Gaussian wow and for both together). The ratio is itself sure to sqrt(0.45 / (B T)) only, and hardly moves
//   where most is Gaussian: the figure is the mean of what both its limits give, and u95 holds their distance: wide
//   where the noise dominates. Where the ratio is above Gaussian, in power.
// - Quasi-peak: in power, 1.65 n: what noise adds to a sine of one to five times n, 10 to 120 s long (derived by
//   simulation). Within 5 % for a sine in noise up to half its peak, 12 % up to all of it (tested). Alone, noise reads
//   as its largest over T (1.562 + 0.023 ln(T / 5 s)) n (derived by simulation, 5 to 1000 s), by chance 2.5 % more or
//   less.
//
// Below what can be told: where the power left is less than twice its standard uncertainty, that is v n^2 if nothing
// but noise is there. Then there is no figure, only the least one that would have been told.
#pragma once

#include <optional>

#include "core/flutter/band_meter.hpp"

namespace four76 {

struct FlutterFigure {
  std::optional<double> percent = std::nullopt;        // noise taken out; nothing where it is below what can be told
  double as_read_percent = 0.0;                        // noise and all
  std::optional<double> noise_percent = std::nullopt;  // what a perfect tone would read; nothing where not known
  std::optional<double> least_percent = std::nullopt;  // the smallest figure that this noise lets be told
  std::optional<double> u95_percent = std::nullopt;    // of `percent`, for the noise alone
  bool below_noise = false;
};

struct NoiseShare {
  double rms_percent = 0.0;
  double power_bandwidth_hz = 1.0;  // B
  double counted_s = 0.0;           // T
  // Relative variance of its power by chance: 1 / (B T).
  [[nodiscard]] double chance() const noexcept;
};

// Noise-to-carrier in 1/Hz, as CarrierNoise gives it.
NoiseShare noise_share(const DeviationFilter& filter, double nominal_hz, double noise_to_carrier,
                       double counted_s) noexcept;

FlutterFigure rms_figure(const BandLevel& level, const std::optional<NoiseShare>& noise) noexcept;
FlutterFigure two_sigma_figure(const BandLevel& level, const std::optional<NoiseShare>& noise) noexcept;
// `noise` is the weighted band's.
FlutterFigure quasi_peak_figure(double largest_percent, const std::optional<NoiseShare>& noise) noexcept;

// Two-sigma over RMS of a sine plus Gaussian deviation that has this share of the whole's RMS, 0 to 1.
double two_sigma_ratio(double gaussian_share) noexcept;

}  // namespace four76
