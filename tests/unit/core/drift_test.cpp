// How the speed drifts, and where it jumped: told from what sags, warms up and wows.
#include "core/flutter/drift.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <vector>

#include "tests/unit/core/coverage.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

std::vector<DriftBlock> course(double seconds, double scatter_percent, const std::function<double(double t)>& percent,
                               std::uint64_t seed = 3) {
  test::Noise noise(seed);
  std::vector<DriftBlock> blocks;
  for (double t = 0.5; t < seconds; t += 1.0) blocks.push_back({t, percent(t) + scatter_percent * noise(), 1000.0});
  return blocks;
}

TEST(SettledDrift, BeginsBehindTheLastJump) {
  for (const double turn_s : {0.0, 1.5, 3.0}) {
    const auto blocks = course(120.0, 0.02, [&](double t) {
      const double share = turn_s > 0.0 ? std::clamp((t - 60.0) / turn_s, 0.0, 1.0) : (t < 60.0 ? 0.0 : 1.0);
      return (t < 30.0 ? 1.0 : 0.0) - 2.0 + 1.2 * share;
    });
    const SettledDrift settled = settled_drift(blocks);
    ASSERT_TRUE(settled.drift && settled.since_jump_s) << turn_s;
    EXPECT_NEAR(*settled.since_jump_s, 60.0 - turn_s, 3.5) << turn_s;
    EXPECT_LT(std::abs(settled.drift->percent_per_minute), 1.5 * settled.drift->u95_percent_per_minute + 0.01)
        << turn_s;
  }
}

TEST(SettledDrift, SeesSeveralTurnsInARow) {
  const auto blocks = course(60.0, 0.01, [](double t) { return 0.4 * std::floor(std::min(t, 40.0) / 5.0); });
  ASSERT_TRUE(settled_drift(blocks).since_jump_s.has_value());
  EXPECT_NEAR(*settled_drift(blocks).since_jump_s, 19.0, 3.0);
}

TEST(SettledDrift, TakesNoSagAndNoWarmingUpForAJump) {
  EXPECT_FALSE(settled_drift(course(240.0, 0.02, [](double t) { return -0.8 * t / 240.0; })).since_jump_s);
  EXPECT_FALSE(settled_drift(course(240.0, 0.0, [](double t) { return -5.0 * t / 240.0; })).since_jump_s);
  for (const double constant_s : {10.0, 20.0, 60.0})
    EXPECT_FALSE(
        settled_drift(course(180.0, 0.01, [&](double t) { return -1.5 * std::exp(-t / constant_s); })).since_jump_s)
        << constant_s;
}

TEST(SettledDrift, TakesNoWowForAJump) {
  for (std::uint64_t seed = 0; seed < 50; ++seed)
    EXPECT_FALSE(settled_drift(course(
                                   250.0, 0.3, [](double) { return 0.0; }, seed))
                     .since_jump_s)
        << seed;
  for (const double rate_hz : {0.07, 0.13, 0.31, 0.52})
    EXPECT_FALSE(
        settled_drift(course(120.0, 0.01, [&](double t) { return 0.5 * std::sin(test::kTwoPi * rate_hz * t); }))
            .since_jump_s)
        << rate_hz;
}

TEST(SettledDrift, NeedsSomethingToGoBy) {
  EXPECT_FALSE(settled_drift({}).drift);
  const auto few = course(5.0, 0.0, [](double t) { return t; });
  EXPECT_FALSE(settled_drift(few).since_jump_s);
}

TEST(Drift, CoversTheTruthNineteenTimesOfTwenty) {
  test::Noise noise(15);
  int covered = 0;
  for (int k = 0; k < 200; ++k) {
    DriftRecord record({.point_rate_hz = 20.0});
    double slow = 0.0;
    for (int n = 0; n < 1200; ++n) {
      slow += 0.02 * (noise() - slow);
      record.add(0.3 * n / 1200.0 + 0.1 * slow, n % 100 > 10);
    }
    const Drift drift = fit_drift(record.blocks()).value();
    covered += std::abs(drift.percent_per_minute - 0.3) <= drift.u95_percent_per_minute;
  }
  EXPECT_TRUE(test::covers(covered, 200.0));
}

TEST(Drift, AnyLengthInTheSameMemory) {
  DriftRecord record({.point_rate_hz = 10.0});
  EXPECT_FALSE(fit_drift(record.blocks()));
  for (int n = 0; n < 200000; ++n) record.add(0.05 * n / 600.0, true);
  EXPECT_LE(record.blocks().size(), DriftRecord::kCapacity);
  EXPECT_NEAR(fit_drift(record.blocks()).value().percent_per_minute, 0.05, 1e-9);
}

}  // namespace
}  // namespace four76
