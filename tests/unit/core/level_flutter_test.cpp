// The level's own flutter, on levels of known shape; expectations by formula.
#include "core/flutter/level_flutter.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <limits>
#include <vector>

#include "tests/unit/core/level_signals.hpp"

namespace four76 {
namespace {

using test::kTwoPi;
using test::level_points;
using test::noisy_level;

std::function<double(double)> sine(double rate_hz, double share, double level = 0.1) {
  return [=](double t) { return level * (1.0 + share * std::sin(kTwoPi * rate_hz * t + 0.7)); };
}

double percent(const LevelReading& reading) { return reading.rms.value().percent.value(); }

TEST(LevelFlutter, ReadsASineOfAnyRate) {
  for (const double rate_hz : {700.0, 1002.27, 1300.0, 2500.0})
    for (const double hz : {0.5, 0.7, 1.3, 6.1, 12.0, 39.0})
      for (const double share : {0.003, 0.02, 0.3}) {
        LevelFlutter level({.point_rate_hz = rate_hz});
        level.process(level_points(sine(hz, share), 45.0, rate_hz));
        const double expected = 100.0 * share / std::sqrt(2.0);
        EXPECT_NEAR(percent(level.live({})) / expected, 1.0, 0.015) << hz << " Hz at " << rate_hz;
        EXPECT_NEAR(percent(level.whole({})) / expected, 1.0, 0.015) << hz << " Hz at " << rate_hz;
      }
}

// The straight line takes half of 6 / (pi k)^2 of the power of k turns, over the phases (derived).
TEST(LevelFlutter, ReadsSlowLevelsAsItsHeaderSays) {
  LevelFlutter level({});
  level.process(level_points(sine(0.2137, 0.05), 600.0));
  EXPECT_NEAR(percent(level.whole({})) / (5.0 / std::sqrt(2.0)), 0.96, 0.015);
}

TEST(LevelFlutter, ReadsNothingBeyondAHundredHertzOrOfASteadyLevel) {
  for (const double rate_hz : {700.0, 1000.0, 1300.0}) {
    LevelFlutter level({.point_rate_hz = rate_hz});
    level.process(level_points(sine(110.0, 0.1), 30.0, rate_hz));
    EXPECT_LT(percent(level.whole({})), 0.01);
    level.reset();
    EXPECT_FALSE(level.whole({}).rms);
    level.process(level_points([](double) { return 0.3; }, 30.0, rate_hz));
    EXPECT_LT(percent(level.whole({})), 1e-4);
  }
}

TEST(LevelFlutter, SaysNothingFromLessThanFiveSeconds) {
  LevelFlutter level({});
  level.process(level_points(sine(4.0, 0.1), 5.9));
  EXPECT_FALSE(level.live({}).rms);
  EXPECT_FALSE(level.whole({}).rms);
  level.process(level_points(sine(4.0, 0.1), 1.2));
  EXPECT_TRUE(level.live({}).rms);
  EXPECT_TRUE(level.whole({}).rms);
}

TEST(LevelFlutter, LiveForgetsAfterTenSeconds) {
  LevelFlutter level({});
  level.process(level_points(sine(4.0, 0.1), 30.0));
  level.process(level_points(sine(4.0, 0.01), 12.1));
  EXPECT_NEAR(percent(level.live({})), 1.0 / std::sqrt(2.0), 0.01);
  EXPECT_GT(percent(level.whole({})), 5.0);
}

TEST(LevelFlutter, DoesNotDependOnTheBlocks) {
  auto points = noisy_level(sine(0.7, 0.02), 40.0, 1e-6, 3);
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
      level.process(noisy_level([](double) { return 0.1; }, 20.0, 1e-6, 60 + seed, rate_hz));
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
    level.process(noisy_level(sine(1.3, share), 120.0, 1e-6, 5));
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
      const auto points = level_points(turned, 60.0);
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
  auto points = level_points(sine(1.3, 0.02), 120.0);
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
    level.process(level_points(
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
  level.process(level_points(sine(1.3, 0.02), 30.0));
  EXPECT_NEAR(percent(level.live({})), 2.0 / std::sqrt(2.0), 0.03);
}

}  // namespace
}  // namespace four76
