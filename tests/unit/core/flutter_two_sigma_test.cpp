// The value exceeded 5 % of the time, against closed formulas and against sorting.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "core/flutter/two_sigma.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

double sorted_two_sigma(std::vector<double> values) {
  for (double& v : values) v = std::abs(v);
  std::sort(values.begin(), values.end());
  const double at = 0.95 * (static_cast<double>(values.size()) - 1.0);
  const auto below = static_cast<std::size_t>(at);
  return values[below] + (at - static_cast<double>(below)) * (values[below + 1] - values[below]);
}

// AES6-2008's figure of a sine: sin(0.95 pi / 2) of its peak (derived).
TEST(TwoSigma, ReadsASineNearItsPeak) {
  for (const double peak : {0.001, 0.01, 0.13, 3.0}) {
    TwoSigma figure({});
    for (int n = 0; n < 20000; ++n) figure.add(peak * std::sin(test::kTwoPi * 4.0123 * n / 1000.0));
    EXPECT_NEAR(figure.percent().value() / peak, 0.99692, 0.0013);
  }
}

TEST(TwoSigma, ReadsGaussianDeviationAtTwoSigma) {
  TwoSigma figure({});
  test::Noise noise(4);
  for (int n = 0; n < 400000; ++n) figure.add(0.05 * noise());
  EXPECT_NEAR(figure.percent().value() / 0.05, 1.95996, 0.012);
}

TEST(TwoSigma, SlidesOverTheNewestPoints) {
  TwoSigma figure({.window_points = 10000});
  test::Noise noise(5);
  std::vector<double> all;
  for (int n = 0; n < 60000; ++n) {
    all.push_back((n < 40000 ? 0.5 : 0.02) * noise());
    figure.add(all.back());
    if (n % 7000 != 6999) continue;
    const auto from = all.end() - std::min<std::ptrdiff_t>(10000, n + 1);
    const double expected = sorted_two_sigma({from, all.end()});
    EXPECT_NEAR(figure.percent().value() / expected, 1.0, 0.004) << n;
  }
}

TEST(TwoSigma, VoidPointsTakeTimeAndDoNotCount) {
  TwoSigma figure({.window_points = 100});
  for (int n = 0; n < 100; ++n) figure.add(1.0);
  for (int n = 0; n < 60; ++n) figure.add_void();
  EXPECT_EQ(figure.count(), 40U);
  EXPECT_NEAR(figure.percent().value(), 1.0, 0.0026);
  for (int n = 0; n < 40; ++n) figure.add_void();
  EXPECT_FALSE(figure.percent());
}

TEST(TwoSigma, HoldsAnyValue) {
  TwoSigma figure({});
  EXPECT_FALSE(figure.percent());
  for (int n = 0; n < 100; ++n) figure.add(0.0);
  EXPECT_EQ(figure.percent().value(), 0.0);
  for (int n = 0; n < 100; ++n) figure.add(1e9);
  EXPECT_NEAR(figure.percent().value(), 100.0, 0.3);
  figure.reset();
  EXPECT_FALSE(figure.percent());
  figure.add(std::nan(""));
  EXPECT_EQ(figure.percent().value(), 0.0);
}

}  // namespace
}  // namespace four76
