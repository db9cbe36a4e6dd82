#include "core/bench/speed_watch.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <vector>

#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

SpeedShape shape_of(double seconds, double scatter, const std::function<double(double)>& percent, std::uint64_t seed) {
  test::Noise noise(seed);
  std::vector<DriftBlock> blocks;
  for (double t = 2.0; t < seconds; t += 4.0) blocks.push_back({t, percent(t) + scatter * noise(), 80.0});
  return judge_course(blocks).shape;
}

Reading reading_at(std::optional<double> percent) {
  Reading reading;
  reading.status = percent ? Status::measured : Status::no_tone;
  reading.speed_error_percent = percent;
  return reading;
}

TEST(SpeedWatch, TellsWarmingUpSaggingAndTheTapesEnd) {
  for (std::uint64_t seed = 0; seed < 20; ++seed) {
    EXPECT_EQ(shape_of(
                  900.0, 0.03, [](double) { return 0.4; }, seed),
              SpeedShape::steady)
        << seed;
    EXPECT_EQ(shape_of(
                  900.0, 0.03, [](double t) { return -0.6 * t / 900.0; }, seed),
              SpeedShape::sagging)
        << seed;
    EXPECT_EQ(shape_of(
                  900.0, 0.03, [](double t) { return -0.5 * std::exp(-t / 150.0); }, seed),
              SpeedShape::warming_up)
        << seed;
    EXPECT_EQ(shape_of(
                  900.0, 0.03, [](double t) { return -0.5 * std::exp((t - 900.0) / 120.0); }, seed),
              SpeedShape::tape_end)
        << seed;
  }
}

TEST(SpeedWatch, TakesSlowWowForSteady) {
  for (const double rate_hz : {0.007, 0.011, 0.02})
    EXPECT_EQ(shape_of(
                  1200.0, 0.01, [=](double t) { return 0.08 * std::sin(test::kTwoPi * rate_hz * t); }, 1),
              SpeedShape::steady)
        << rate_hz;
  EXPECT_EQ(shape_of(
                120.0, 0.01, [](double t) { return t; }, 1),
            SpeedShape::too_short);
}

TEST(SpeedWatch, SaysHowMuchOfWarmingUpIsStillToCome) {
  std::vector<DriftBlock> blocks;
  for (double t = 0.0; t < 400.0; t += 2.0) blocks.push_back({t, 1.0 - 0.8 * std::exp(-t / 200.0), 40.0});
  const SpeedCourse course = judge_course(blocks);
  ASSERT_EQ(course.shape, SpeedShape::warming_up);
  EXPECT_NEAR(course.tau_s.value_or(0.0), 200.0, 25.0);
  EXPECT_NEAR(course.still_to_come_percent.value_or(0.0), 0.8 * std::exp(-2.0), 0.03);
  EXPECT_NEAR(course.end_percent.value_or(0.0), 1.0 - 0.8 * std::exp(-2.0), 0.01);
}

TEST(SpeedWatch, KeepsHoursInTheSameMemoryAndNamesTheGaps) {
  SpeedWatch watch;
  const double start_s = 1e9;
  double now_s = start_s;
  const auto play = [&](double seconds, std::optional<double> percent) {
    for (const double until_s = now_s + seconds; now_s < until_s; now_s += 0.05) watch.add(now_s, reading_at(percent));
  };
  play(1200.0, 0.2);
  watch.interrupted(GapCause::call);
  now_s += 100.0;  // no samples at all
  play(600.0, 0.2);
  play(5.0, std::nullopt);
  play(1.0, 0.2);
  play(1.0, std::nullopt);
  play(7200.0, 0.2);
  EXPECT_LE(watch.course().size(), DriftRecord::kCapacity);
  EXPECT_NEAR(watch.passed_s(), now_s - start_s, 0.1);
  ASSERT_EQ(watch.gaps().size(), 2u);
  EXPECT_EQ(watch.gaps()[0].cause, GapCause::call);
  EXPECT_NEAR(watch.gaps()[0].to_s - watch.gaps()[0].from_s, 100.0, 0.2);
  EXPECT_EQ(watch.gaps()[1].cause, GapCause::no_tone);
  EXPECT_EQ(watch.judge().shape, SpeedShape::steady);
  EXPECT_NEAR(watch.course().back().time_s, watch.passed_s(), 120.0);
  watch.add(now_s - 1000.0, reading_at(0.2));  // the clock was set back
  EXPECT_NEAR(watch.passed_s(), now_s - start_s, 0.1);
}

TEST(SpeedWatch, BeginsBehindATurnOfTheTrimmer) {
  std::vector<DriftBlock> blocks;
  test::Noise noise(2);
  for (double t = 0.0; t < 1000.0; t += 4.0) blocks.push_back({t, (t < 300.0 ? -1.0 : 0.0) + 0.01 * noise(), 80.0});
  const SpeedCourse course = judge_course(blocks);
  EXPECT_EQ(course.shape, SpeedShape::steady);
  EXPECT_NEAR(course.since_jump_s.value_or(0.0), 696.0, 12.0);
}

}  // namespace
}  // namespace four76
