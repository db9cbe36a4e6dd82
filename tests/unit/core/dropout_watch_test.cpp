// Dropouts, on levels of known shape; expectations by formula.
#include "core/flutter/dropout_watch.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <limits>
#include <vector>

#include "tests/unit/core/level_signals.hpp"

namespace four76 {
namespace {

using test::level_points;
using test::noisy_level;

struct Hole {
  double at_s, length_s, depth_db;
};
std::function<double(double)> holed(const std::vector<Hole>& holes) {
  return [=](double t) {
    for (const Hole& hole : holes)
      if (t >= hole.at_s && t < hole.at_s + hole.length_s) return 0.1 * std::pow(10.0, -hole.depth_db / 20.0);
    return 0.1;
  };
}

DropoutReading whole_of(const std::vector<LevelPoint>& points, double rate_hz = 1000.0) {
  DropoutWatch watch({.point_rate_hz = rate_hz});
  for (const LevelPoint& point : points) watch.add(point);
  return watch.whole().value();
}

TEST(DropoutWatch, KnowsHowDeepAndHowLong) {
  for (const double rate_hz : {700.0, 1002.27, 1300.0, 2500.0})
    for (const double length_s : {0.012, 0.03, 0.2, 0.8})
      for (const double depth_db : {12.0, 20.0, 40.0}) {
        const auto found = whole_of(level_points(holed({{5.003, length_s, depth_db}}), 20.0, rate_hz), rate_hz);
        EXPECT_EQ(found.count, 1U) << length_s << " s, " << depth_db << " dB";
        EXPECT_NEAR(found.deepest_db.value(), depth_db, 0.1);
        EXPECT_NEAR(found.longest_s.value(), length_s, 0.002 + 1.0 / rate_hz) << depth_db;
        EXPECT_NEAR(found.per_minute, 60.0 / 19.5, 0.01);
      }
}

// 10 dB and 10 ms are the border: what is shallower or shorter is none.
TEST(DropoutWatch, LeavesOutWhatIsShallowOrShort) {
  EXPECT_EQ(whole_of(level_points(holed({{5.0, 0.1, 9.0}}), 20.0)).count, 0U);
  EXPECT_EQ(whole_of(level_points(holed({{5.0, 0.007, 40.0}}), 20.0)).count, 0U);
  EXPECT_EQ(whole_of(level_points(holed({{5.0, 0.1, 11.0}, {6.0, 0.013, 40.0}}), 20.0)).count, 2U);
}

TEST(DropoutWatch, TheTonesEndAndALongLossAreNone) {
  EXPECT_EQ(whole_of(level_points(holed({{15.0, 5.0, 80.0}}), 20.0)).count, 0U);
  EXPECT_EQ(whole_of(level_points(holed({{5.0, 3.0, 40.0}}), 20.0)).count, 0U);
  EXPECT_EQ(whole_of(level_points(holed({{5.0, 3.0, 40.0}, {12.0, 0.05, 20.0}}), 20.0)).count, 1U);
}

// Between two tapes nothing is watched, whether the tone fell before it went or was gone at once.
TEST(DropoutWatch, SilenceIsNotWatched) {
  for (const bool falls : {false, true}) {
    auto points = level_points(holed({{5.0, 0.05, 20.0}, {falls ? 19.9 : 30.0, 1.0, 20.0}}), 20.0);
    points.resize(80000, LevelPoint{0.0F, false});
    const auto found = whole_of(points);
    EXPECT_EQ(found.count, 1U);
    EXPECT_NEAR(found.watched_s, falls ? 20.4 : 19.5, 0.02);
  }
}

// A deep one takes the tone along for a while: it is one all the same.
TEST(DropoutWatch, AVoidWithinADropoutBelongsToIt) {
  auto points = level_points(holed({{5.0, 0.2, 30.0}}), 20.0);
  for (std::size_t n = 5050; n < 5150; ++n) points[n] = {std::numeric_limits<float>::quiet_NaN(), n % 2 == 0};
  const auto found = whole_of(points);
  EXPECT_EQ(found.count, 1U);
  EXPECT_NEAR(found.longest_s.value(), 0.2, 0.003);
}

TEST(DropoutWatch, CountsThemAllAndForgetsThemLive) {
  std::vector<Hole> holes;
  test::Noise noise(11);
  for (double t = 2.0; t < 50.0; t += 0.3 + noise.uniform())
    holes.push_back({t, 0.012 + 0.1 * noise.uniform(), 12.0 + 20.0 * noise.uniform()});
  DropoutWatch watch({});
  for (const LevelPoint& point : level_points(holed(holes), 51.0)) watch.add(point);
  EXPECT_EQ(watch.whole()->count, holes.size());
  std::size_t newest = 0;
  for (const Hole& hole : holes) newest += hole.at_s + hole.length_s > 41.0;
  EXPECT_NEAR(static_cast<double>(watch.live()->count), static_cast<double>(newest), 1.0);
  for (const LevelPoint& point : level_points(holed({}), 11.0)) watch.add(point);
  EXPECT_EQ(watch.live()->count, 0U);
  EXPECT_FALSE(watch.live()->deepest_db);
  EXPECT_EQ(watch.whole()->count, holes.size());
}

// At 45 dB-Hz the level over 5 ms scatters by 0.056 (derived: N0/C over 10 ms): no dropout by chance in half an hour.
TEST(DropoutWatch, NoiseIsNoDropout) {
  EXPECT_EQ(whole_of(noisy_level([](double) { return 0.1; }, 1800.0, 3.2e-5, 12)).count, 0U);
}

TEST(DropoutWatch, SaysNothingBeforeItKnowsTheLevel) {
  DropoutWatch watch({});
  EXPECT_FALSE(watch.whole());
  for (const LevelPoint& point : level_points([](double) { return 0.1; }, 0.4)) watch.add(point);
  EXPECT_FALSE(watch.live());
}

}  // namespace
}  // namespace four76
