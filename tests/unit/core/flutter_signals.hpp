// What the tests of wow and flutter share: the standard's table, deviations with a known truth.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <utility>
#include <vector>

#include "core/flutter/void_bridge.hpp"
#include "tests/unit/core/test_signals.hpp"
#include "tests/unit/core/tracked.hpp"

namespace four76::test {

// IEC 60386:1972 with Amd 1:1988, weighting curve, hertz and decibels (sources.md#weighting).
inline constexpr std::array<std::pair<double, double>, 17> kWeightingTable{{{0.1, -48.0},
                                                                            {0.2, -30.6},
                                                                            {0.315, -19.7},
                                                                            {0.4, -15.0},
                                                                            {0.63, -8.4},
                                                                            {0.8, -6.0},
                                                                            {1.0, -4.2},
                                                                            {1.6, -1.8},
                                                                            {2.0, -0.9},
                                                                            {4.0, 0.0},
                                                                            {6.3, -0.9},
                                                                            {10.0, -2.1},
                                                                            {20.0, -5.9},
                                                                            {40.0, -10.4},
                                                                            {63.0, -14.2},
                                                                            {100.0, -17.3},
                                                                            {200.0, -23.0}}};

inline constexpr double kSineTwoSigma = 0.99692;  // of its peak: sin(0.95 pi / 2), derived

// The standard's test of a quasi-peak meter: unidirectional pulses of deviation at the meter's input, one a second, as
// high as a 4 Hz sine is from peak to peak, and what they read of that sine's reading. IEC 60386:1972: 60 ms is also in
// the abstract of AES6-2008; the rest and all tolerances from memory.
struct PulseRow {
  double pulse_s, percent, tolerance;
};
inline constexpr std::array<PulseRow, 4> kPulseTable{
    {{0.010, 21.0, 3.0}, {0.030, 62.0, 6.0}, {0.060, 90.0, 6.0}, {0.100, 100.0, 4.0}}};
// Between pulses of 100 ms the reading falls to so many percent (abstract of AES6-2008; the limits from memory).
inline constexpr double kFallPercent = 40.0, kFallTolerance = 4.0;

// A tone whose frequency is `height` of its mean higher for the first `pulse_s` of every second, in cycles.
struct PulsedTone {
  double mean_hz, height, pulse_s;
  double operator()(double t) const {
    const double second = std::floor(t + 1e-9);  // sample times are not sums of decimals
    return mean_hz * (t + height * (second * pulse_s + std::min(std::max(t - second, 0.0), pulse_s)));
  }
};

// A deviation as points, from `from_s` on.
inline std::vector<DeviationPoint> points_of(const std::function<double(double)>& deviation, double seconds,
                                             double rate_hz = 1000.0, double from_s = 0.0) {
  std::vector<DeviationPoint> points;
  for (double n = 0.0; n < seconds * rate_hz; n += 1.0) points.push_back({deviation(from_s + n / rate_hz)});
  return points;
}

inline std::function<double(double)> sine(double rate_hz, double peak, double mean = 0.0, double angle = 0.7) {
  return [=](double t) { return mean + peak * std::sin(kTwoPi * rate_hz * t + angle); };
}

// White phase noise of that N0/C on a tone of 3000 Hz, as the differences that the points hold: one-sided density of
// the phase in radians squared N0/C, so sigma^2 = N0/C rate / 2 (derived).
inline void add_phase_noise(std::vector<DeviationPoint>& points, double noise_to_carrier, std::uint64_t seed,
                            double rate_hz = 1000.0) {
  Noise noise(seed);
  const double sigma_cycles = std::sqrt(noise_to_carrier * rate_hz / 2.0) / kTwoPi;
  double before = 0.0;
  for (DeviationPoint& point : points) {
    const double now = sigma_cycles * noise();
    point.percent += 100.0 * (now - before) * rate_hz / 3000.0;
    before = now;
  }
}

// The mean over point n of a sine of peak 1: what the difference of two phases a point apart holds.
inline double differenced_sine(double rate_hz, double point_rate_hz, std::size_t n, double angle = 0.0) {
  const double step = kTwoPi * rate_hz / point_rate_hz;
  const double from = step * (static_cast<double>(n) - 1.0) + angle;
  return (std::cos(from) - std::cos(from + step)) / step;
}

// A sound through the track, as points of deviation, with what the track's knots say of its noise.
struct Deviations {
  std::vector<DeviationPoint> points;
  double rate_hz = 0.0;
  double noise_to_carrier = 0.0;
};
inline Deviations deviation_points(std::span<const float> sound, double sample_rate_hz, double nominal_hz,
                                   double lock_hz) {
  ToneTrack tracker({sample_rate_hz, nominal_hz});
  tracker.lock(lock_hz, 0);
  Deviations found{.points = {}, .rate_hz = tracker.point_rate_hz()};
  double before = 0.0;
  for (const TrackPoint& point : track(tracker, sound)) {
    const double cycles = phase_cycles(point);
    double step = cycles - before - nominal_hz / found.rate_hz;  // of a phase known but for whole cycles
    step -= std::round(step);
    before = cycles;
    // The loop's first tenth of a second is its own.
    found.points.push_back({100.0 * step * found.rate_hz / nominal_hz, point.time_s > 0.1});
  }
  const auto knots = knots_of(sound, sample_rate_hz, nominal_hz, lock_hz);
  found.noise_to_carrier = knots.noise.total_noise_to_carrier().value_or(0.0);
  return found;
}

}  // namespace four76::test
