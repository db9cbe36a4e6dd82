// What the tests of wow and flutter share: the standard's table, deviations with a known truth.
#pragma once

#include <array>
#include <cmath>
#include <cstddef>
#include <utility>
#include <vector>

#include "tests/unit/core/test_signals.hpp"

namespace four76::test {

// IEC 60386:1972 with Amd 1:1988, weighting curve, hertz and decibels (from memory).
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

// The mean over point n of a sine of peak 1: what the difference of two phases a point apart holds.
inline double differenced_sine(double rate_hz, double point_rate_hz, std::size_t n, double angle = 0.0) {
  const double step = kTwoPi * rate_hz / point_rate_hz;
  const double from = step * (static_cast<double>(n) - 1.0) + angle;
  return (std::cos(from) - std::cos(from + step)) / step;
}

}  // namespace four76::test
