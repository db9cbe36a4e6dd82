// Levels of a tone as points, for the tests of what watches them.
#pragma once

#include <cmath>
#include <cstdint>
#include <functional>
#include <vector>

#include "core/flutter/dropout_watch.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76::test {

inline std::vector<LevelPoint> level_points(const std::function<double(double)>& level, double seconds,
                                            double rate_hz = 1000.0) {
  std::vector<LevelPoint> points;
  for (double n = 0.0; n < seconds * rate_hz; n += 1.0) points.push_back({static_cast<float>(level(n / rate_hz))});
  return points;
}

// White noise in phase with the tone: one-sided density N0/C relative to it, so sigma^2 = N0/C rate / 2 (derived).
inline std::vector<LevelPoint> noisy_level(const std::function<double(double)>& level, double seconds,
                                           double noise_to_carrier, std::uint64_t seed, double rate_hz = 1000.0) {
  Noise noise(seed);
  const double sigma = std::sqrt(noise_to_carrier * rate_hz / 2.0);
  return level_points([&](double t) { return level(t) + 0.1 * sigma * noise(); }, seconds, rate_hz);
}

}  // namespace four76::test
