// The level's own flutter and its dropouts, on levels of known shape; expectations by formula.
#include "core/flutter/level_flutter.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <limits>
#include <vector>

#include "core/flutter/dropout_watch.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

using test::kTwoPi;

std::vector<LevelPoint> points_of(const std::function<double(double)>& level, double seconds, double rate_hz = 1000.0) {
  std::vector<LevelPoint> points;
  for (double n = 0.0; n < seconds * rate_hz; n += 1.0) points.push_back({static_cast<float>(level(n / rate_hz))});
  return points;
}

std::function<double(double)> sine(double rate_hz, double share, double level = 0.1) {
  return [=](double t) { return level * (1.0 + share * std::sin(kTwoPi * rate_hz * t + 0.7)); };
}

// White noise in phase with the tone: one-sided density N0/C relative to it, so sigma^2 = N0/C rate / 2 (derived).
std::vector<LevelPoint> noisy(const std::function<double(double)>& level, double seconds, double noise_to_carrier,
                              std::uint64_t seed, double rate_hz = 1000.0) {
  test::Noise noise(seed);
  const double sigma = std::sqrt(noise_to_carrier * rate_hz / 2.0);
  return points_of([&](double t) { return level(t) + 0.1 * sigma * noise(); }, seconds, rate_hz);
}

double percent(const LevelReading& reading) { return reading.rms.value().percent.value(); }

// ---- Flutter of the level -------------------------------------------------------------------------------------------

TEST(LevelFlutter, ReadsASineOfAnyRate) {
  for (const double rate_hz : {700.0, 1002.27, 1300.0, 2500.0})
    for (const double hz : {0.5, 0.7, 1.3, 6.1, 12.0, 39.0})
      for (const double share : {0.003, 0.02, 0.3}) {
        LevelFlutter level({.point_rate_hz = rate_hz});
        level.process(points_of(sine(hz, share), 45.0, rate_hz));
        const double expected = 100.0 * share / std::sqrt(2.0);
        EXPECT_NEAR(percent(level.live({})) / expected, 1.0, 0.015) << hz << " Hz at " << rate_hz;
        EXPECT_NEAR(percent(level.whole({})) / expected, 1.0, 0.015) << hz << " Hz at " << rate_hz;
      }
}

// The straight line takes half of 6 / (pi k)^2 of the power of k turns, over the phases (derived).
TEST(LevelFlutter, ReadsSlowLevelsAsItsHeaderSays) {
  LevelFlutter level({});
  level.process(points_of(sine(0.2137, 0.05), 600.0));
  EXPECT_NEAR(percent(level.whole({})) / (5.0 / std::sqrt(2.0)), 0.96, 0.015);
}

TEST(LevelFlutter, ReadsNothingBeyondAHundredHertzOrOfASteadyLevel) {
  for (const double rate_hz : {700.0, 1000.0, 1300.0}) {
    LevelFlutter level({.point_rate_hz = rate_hz});
    level.process(points_of(sine(110.0, 0.1), 30.0, rate_hz));
    EXPECT_LT(percent(level.whole({})), 0.01);
    level.reset();
    EXPECT_FALSE(level.whole({}).rms);
    level.process(points_of([](double) { return 0.3; }, 30.0, rate_hz));
    EXPECT_LT(percent(level.whole({})), 1e-4);
  }
}

TEST(LevelFlutter, SaysNothingFromLessThanFiveSeconds) {
  LevelFlutter level({});
  level.process(points_of(sine(4.0, 0.1), 5.9));
  EXPECT_FALSE(level.live({}).rms);
  EXPECT_FALSE(level.whole({}).rms);
  level.process(points_of(sine(4.0, 0.1), 1.2));
  EXPECT_TRUE(level.live({}).rms);
  EXPECT_TRUE(level.whole({}).rms);
}

TEST(LevelFlutter, LiveForgetsAfterTenSeconds) {
  LevelFlutter level({});
  level.process(points_of(sine(4.0, 0.1), 30.0));
  level.process(points_of(sine(4.0, 0.01), 12.1));
  EXPECT_NEAR(percent(level.live({})), 1.0 / std::sqrt(2.0), 0.01);
  EXPECT_GT(percent(level.whole({})), 5.0);
}

TEST(LevelFlutter, DoesNotDependOnTheBlocks) {
  auto points = noisy(sine(0.7, 0.02), 40.0, 1e-6, 3);
  for (std::size_t n = 12000; n < 12040; ++n) points[n].valid = false;
  for (std::size_t n = 20000; n < 20030; ++n) points[n].amplitude = 0.001F;
  double first = 0.0;
  for (const std::size_t piece : {std::size_t{1}, std::size_t{128}, std::size_t{4096}}) {
    LevelFlutter level({});
    for (std::size_t at = 0; at < points.size(); at += piece)
      level.process(std::span(points).subspan(at, std::min(piece, points.size() - at)));
    const double read = percent(level.whole({}));
    if (piece == 1) first = read;
    EXPECT_EQ(read, first);
    EXPECT_EQ(level.whole({}).dropouts->count, 1U);
  }
}

// The low-pass lets noise of 55 to 65 Hz through: at 60 dB-Hz 0.76 % (derived: root of N0/C times the band).
TEST(LevelFlutter, NoiseAloneIsToldAsSuch) {
  int told = 0;
  for (std::uint64_t seed = 0; seed < 40; ++seed)
    for (const double rate_hz : {700.0, 1300.0}) {
      LevelFlutter level({.point_rate_hz = rate_hz});
      level.process(noisy([](double) { return 0.1; }, 20.0, 1e-6, 60 + seed, rate_hz));
      const auto read = level.whole(1e-6).rms.value();
      EXPECT_NEAR(read.as_read_percent, *read.noise_percent, 0.1 * *read.noise_percent);
      EXPECT_NEAR(*read.noise_percent, 0.77, 0.05);
      told += !read.below_noise;
    }
  EXPECT_LE(told, 6);  // of 80; two standard uncertainties one-sided: 2.3 %
}

TEST(LevelFlutter, TakesTheNoiseOut) {
  for (const double share : {0.008, 0.02, 0.1}) {
    LevelFlutter level({});
    level.process(noisy(sine(1.3, share), 120.0, 1e-6, 5));
    const auto read = level.whole(1e-6).rms.value();
    EXPECT_NEAR(*read.percent, 100.0 * share / std::sqrt(2.0), *read.u95_percent + 0.01 * share * 100.0) << share;
    EXPECT_LT(*read.u95_percent, 0.25 * *read.percent) << share;
  }
}

// A volume that somebody turns, at once or within seconds, up or down: no flutter, no dropout.
TEST(LevelFlutter, ATurnedVolumeIsNoFlutter) {
  for (const double db : {-20.0, -6.0, 6.0, 20.0})
    for (const double within_s : {0.0, 0.5, 2.0}) {
      LevelFlutter level({});
      const double factor = std::pow(10.0, db / 20.0);
      const auto wobbling = sine(2.0, 0.02);
      const auto turned = [&](double t) {
        const double part = t < 23.3 ? 0.0 : std::min(1.0, (t - 23.3) / std::max(within_s, 1e-9));
        return wobbling(t) * std::pow(factor, part);
      };
      const auto points = points_of(turned, 60.0);
      std::size_t at = 0;
      for (double t = 0.25; t <= 60.0; t += 0.25, at += 250) {
        level.process(std::span(points).subspan(at, 250));
        const auto live = level.live({}).rms;
        if (!live) continue;
        EXPECT_NEAR(*live->percent, 2.0 / std::sqrt(2.0), 0.25 * 1.4) << db << " dB, at " << t;
      }
      EXPECT_NEAR(percent(level.whole({})), 2.0 / std::sqrt(2.0), 0.03) << db << " dB within " << within_s;
      EXPECT_NEAR(percent(level.live({})), 2.0 / std::sqrt(2.0), 0.03);
      EXPECT_EQ(level.whole({}).dropouts->count, 0U) << db;
    }
}

TEST(LevelFlutter, DropoutsAndVoidsLeaveTheFigureAlone) {
  test::Noise noise(9);
  auto points = points_of(sine(1.3, 0.02), 120.0);
  for (double t = 3.0; t < 118.0; t += 1.0 + noise.uniform()) {
    const auto from = static_cast<std::size_t>(1000.0 * t);
    const bool dropout = noise.uniform() < 0.5;
    for (std::size_t n = from; n < from + 60; ++n)
      points[n] = dropout ? LevelPoint{0.1F * points[n].amplitude, true}
                          : LevelPoint{std::numeric_limits<float>::quiet_NaN(), false};
  }
  LevelFlutter level({});
  level.process(points);
  EXPECT_NEAR(percent(level.whole({})), 2.0 / std::sqrt(2.0), 0.03);
  EXPECT_NEAR(percent(level.live({})), 2.0 / std::sqrt(2.0), 0.05);
  EXPECT_GT(level.whole({}).dropouts->count, 20U);
}

// A tone as strong as the tape's own, 3 Hz beside it: the level beats down to nothing. Nothing falls over.
TEST(LevelFlutter, SurvivesBeats) {
  for (const double share : {0.5, 0.99, 1.0, 3.0}) {
    LevelFlutter level({});
    level.process(points_of(
        [&](double t) {
          return 0.1 * std::sqrt(std::abs(1.0 + share * share + 2.0 * share * std::cos(kTwoPi * 3.0 * t)));
        },
        30.0));
    for (const LevelReading& read : {level.live(1e-6), level.whole(1e-6)})
      EXPECT_TRUE(!read.rms || std::isfinite(read.rms->as_read_percent));
  }
}

TEST(LevelFlutter, SurvivesSilenceAndNonsense) {
  LevelFlutter level({});
  level.process(std::vector<LevelPoint>(20000, LevelPoint{0.0F, true}));
  EXPECT_FALSE(level.live({}).rms);
  level.process(std::vector<LevelPoint>(20000, LevelPoint{0.0F, false}));
  EXPECT_FALSE(level.live({}).rms);
  level.process(std::vector<LevelPoint>(20000, LevelPoint{std::numeric_limits<float>::infinity(), true}));
  EXPECT_FALSE(level.live({}).rms);
  level.process(points_of(sine(1.3, 0.02), 30.0));
  EXPECT_NEAR(percent(level.live({})), 2.0 / std::sqrt(2.0), 0.03);
}

// ---- Dropouts -------------------------------------------------------------------------------------------------------

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
        const auto found = whole_of(points_of(holed({{5.003, length_s, depth_db}}), 20.0, rate_hz), rate_hz);
        EXPECT_EQ(found.count, 1U) << length_s << " s, " << depth_db << " dB";
        EXPECT_NEAR(found.deepest_db.value(), depth_db, 0.1);
        EXPECT_NEAR(found.longest_s.value(), length_s, 0.002 + 1.0 / rate_hz) << depth_db;
        EXPECT_NEAR(found.per_minute, 60.0 / 19.5, 0.01);
      }
}

// 10 dB and 10 ms are the border: what is shallower or shorter is none.
TEST(DropoutWatch, LeavesOutWhatIsShallowOrShort) {
  EXPECT_EQ(whole_of(points_of(holed({{5.0, 0.1, 9.0}}), 20.0)).count, 0U);
  EXPECT_EQ(whole_of(points_of(holed({{5.0, 0.007, 40.0}}), 20.0)).count, 0U);
  EXPECT_EQ(whole_of(points_of(holed({{5.0, 0.1, 11.0}, {6.0, 0.013, 40.0}}), 20.0)).count, 2U);
}

TEST(DropoutWatch, TheTonesEndAndALongLossAreNone) {
  EXPECT_EQ(whole_of(points_of(holed({{15.0, 5.0, 80.0}}), 20.0)).count, 0U);
  EXPECT_EQ(whole_of(points_of(holed({{5.0, 3.0, 40.0}}), 20.0)).count, 0U);
  EXPECT_EQ(whole_of(points_of(holed({{5.0, 3.0, 40.0}, {12.0, 0.05, 20.0}}), 20.0)).count, 1U);
}

// Between two tapes nothing is watched, whether the tone fell before it went or was gone at once.
TEST(DropoutWatch, SilenceIsNotWatched) {
  for (const bool falls : {false, true}) {
    auto points = points_of(holed({{5.0, 0.05, 20.0}, {falls ? 19.9 : 30.0, 1.0, 20.0}}), 20.0);
    points.resize(80000, LevelPoint{0.0F, false});
    const auto found = whole_of(points);
    EXPECT_EQ(found.count, 1U);
    EXPECT_NEAR(found.watched_s, falls ? 20.4 : 19.5, 0.02);
  }
}

// A deep one takes the tone along for a while: it is one all the same.
TEST(DropoutWatch, AVoidWithinADropoutBelongsToIt) {
  auto points = points_of(holed({{5.0, 0.2, 30.0}}), 20.0);
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
  for (const LevelPoint& point : points_of(holed(holes), 51.0)) watch.add(point);
  EXPECT_EQ(watch.whole()->count, holes.size());
  std::size_t newest = 0;
  for (const Hole& hole : holes) newest += hole.at_s + hole.length_s > 41.0;
  EXPECT_NEAR(static_cast<double>(watch.live()->count), static_cast<double>(newest), 1.0);
  for (const LevelPoint& point : points_of(holed({}), 11.0)) watch.add(point);
  EXPECT_EQ(watch.live()->count, 0U);
  EXPECT_FALSE(watch.live()->deepest_db);
  EXPECT_EQ(watch.whole()->count, holes.size());
}

// At 45 dB-Hz the level over 5 ms scatters by 0.056 (derived: N0/C over 10 ms): no dropout by chance in half an hour.
TEST(DropoutWatch, NoiseIsNoDropout) {
  EXPECT_EQ(whole_of(noisy([](double) { return 0.1; }, 1800.0, 3.2e-5, 12)).count, 0U);
}

TEST(DropoutWatch, SaysNothingBeforeItKnowsTheLevel) {
  DropoutWatch watch({});
  EXPECT_FALSE(watch.whole());
  for (const LevelPoint& point : points_of([](double) { return 0.1; }, 0.4)) watch.add(point);
  EXPECT_FALSE(watch.live());
}

}  // namespace
}  // namespace four76
