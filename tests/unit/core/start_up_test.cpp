// A machine that comes up to speed is no wow; a machine that wows is not starting.
#include "core/flutter/start_up.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <vector>

#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

constexpr double kRate_hz = 1000.0;

std::vector<DeviationPoint> through(const std::function<double(double t)>& percent, double seconds) {
  StartUp gate({.point_rate_hz = kRate_hz});
  std::vector<DeviationPoint> all;
  for (std::size_t n = 0; n < test::frames_in(seconds, kRate_hz); ++n)
    for (const DeviationPoint& point : gate.add({percent(static_cast<double>(n) / kRate_hz), true}))
      all.push_back(point);
  return all;
}
double void_s(const std::vector<DeviationPoint>& points) {
  double sum = 0.0;
  for (const DeviationPoint& point : points) sum += point.valid ? 0.0 : 1.0 / kRate_hz;
  return sum;
}
double wow(double t) { return 0.2 * std::sin(test::kTwoPi * 1.26 * t) + 0.1 * std::sin(test::kTwoPi * 7.6 * t); }

TEST(StartUp, LetsASteadyMachineThroughWhole) {
  for (const double rate_hz : {0.3, 0.52, 1.26, 7.6})
    for (const double peak : {0.05, 0.5, 1.5})
      for (const double angle : {0.0, 1.6, 3.1, 4.7}) {
        const auto all =
            through([&](double t) { return peak * std::sin(test::kTwoPi * rate_hz * t + angle) + wow(t); }, 9.0);
        ASSERT_EQ(all.size(), 9000u);
        // What of a slow and strong wow lies beyond the judged second and a half may be missed.
        EXPECT_LE(void_s(all), rate_hz < 0.6 && peak > 0.2 ? 1.5 : 0.0) << rate_hz << ' ' << peak << ' ' << angle;
      }
}

TEST(StartUp, LeavesOutTheWayUp) {
  for (const double constant_s : {0.1, 0.25, 0.6}) {
    const auto all = through([&](double t) { return wow(t) - 12.0 * std::exp(-t / constant_s); }, 10.0);
    for (std::size_t n = 0; n < all.size(); ++n) {
      if (!all[n].valid) continue;
      // The wow's 0.3 %; what may still move, 0.3 % and as much as the wow, 0.4 % from end to end, can hide; half of
      // all that range again; and 0.1 % within a bin (derived). Out of 12 %.
      EXPECT_GT(all[n].percent, -1.75) << constant_s << " at " << n;
    }
    // 12 % has fallen to the wow's peak after ln(12 / 0.3) time constants; some more for the judged range.
    EXPECT_LT(void_s(all), 5.5 * constant_s + 0.5) << constant_s;
  }
  const auto line = through([](double t) { return wow(t) + (t < 1.0 ? -25.0 * (1.0 - t) : 0.0); }, 10.0);
  EXPECT_NEAR(void_s(line), 0.97, 0.1);
}

TEST(StartUp, HoldsNothingForLong) {
  const auto sags = through([](double t) { return -1.0 * t; }, 20.0);  // 1 % a second, for ever
  EXPECT_LE(void_s(sags), StartUp::kLongestS);
  EXPECT_TRUE(sags.back().valid);
}

TEST(StartUp, GivesBackWhatItHeldAsVoid) {
  StartUp gate({.point_rate_hz = kRate_hz});
  std::size_t came = 0;
  for (int n = 0; n < 1200; ++n) came += gate.add({0.1, true}).size();
  EXPECT_EQ(came, 0u);
  const auto held = gate.flush();
  EXPECT_EQ(held.size(), 1200u);
  for (const DeviationPoint& point : held) EXPECT_FALSE(point.valid);
  EXPECT_TRUE(gate.flush().empty());
  EXPECT_TRUE(gate.add({0.1, true}).empty());  // and holds again
}

}  // namespace
}  // namespace four76
