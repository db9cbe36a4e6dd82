// Parts whose rate moves while they are listened to: reels by their geometry, wandering motors, neighbours.
#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <numbers>
#include <vector>

#include "core/flutter/flutter_spectrum.hpp"
#include "core/flutter/wander.hpp"
#include "tests/unit/core/coverage.hpp"
#include "tests/unit/core/flutter_signals.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

using test::add_phase_noise;
using test::kTwoPi;
using test::points_of;

// The tape that a second brings adds v d to the pack's area: r^2 = r0^2 + v t d / pi; the reel's angle is the length
// over the radius, summed up.
struct Reel {
  double tape_um = 18.0;
  double start_mm = 11.0;
  bool supply = false;
  double speed_mm_s = 47.6;

  [[nodiscard]] double sign() const { return supply ? -1.0 : 1.0; }
  [[nodiscard]] double thick_mm() const { return 0.001 * tape_um; }
  [[nodiscard]] double radius_mm(double t) const {
    return std::sqrt(start_mm * start_mm + sign() * speed_mm_s * t * thick_mm() / std::numbers::pi);
  }
  [[nodiscard]] double turns(double t) const { return sign() * (radius_mm(t) - start_mm) / thick_mm(); }
  [[nodiscard]] double rate_hz(double t) const { return speed_mm_s / (kTwoPi * radius_mm(t)); }
  // By a difference over 2 ms.
  [[nodiscard]] double change_hz_per_minute(double t) const {
    return 60.0 * (rate_hz(t + 0.001) - rate_hz(t - 0.001)) / 0.002;
  }
};

FlutterSpectrum sampled(double rate_hz = 1000.0) {
  return FlutterSpectrum({.point_rate_hz = rate_hz, .differenced = false});
}

std::vector<FlutterPeak> near(const FlutterSpectrumView& view, double rate_hz, double reach_hz) {
  std::vector<FlutterPeak> found;
  for (const FlutterPeak& peak : view.peaks)
    if (std::abs(peak.rate_hz - rate_hz) < reach_hz) found.push_back(peak);
  return found;
}

// C60, C90 and C120 at an empty, a half and a full hub, either reel, its second harmonic with it, beside the capstan,
// a roller and the noise of 60 dB-Hz.
TEST(SlowMovers, AReelIsOnePartOfItsOwnStrengthWhereverTheTapeIs) {
  for (const double rate_hz : {700.0, 1002.27, 1300.0})
    for (const double tape_um : {18.0, 12.0, 9.0})
      for (const double start_mm : {11.0, 17.0, 24.0})
        for (const bool supply : {false, true}) {
          if (supply && start_mm < 12.0) continue;  // it would run out
          const Reel reel{tape_um, start_mm, supply};
          const auto deviation = [&](double t) {
            return 0.1 * std::sin(kTwoPi * reel.turns(t) + 0.4) + 0.02 * std::sin(2.0 * kTwoPi * reel.turns(t)) +
                   0.05 * std::sin(kTwoPi * 1.25 * t) + 0.2 * std::sin(kTwoPi * 7.58 * t);
          };
          auto points = points_of(deviation, 60.0, rate_hz);
          add_phase_noise(points, 1e-6, 3, rate_hz);
          auto spectrum = sampled(rate_hz);
          spectrum.process(points);
          const auto view = spectrum.analyse(1e-6).value();
          ASSERT_NEAR(view.span_s, 60.0, 0.01);
          EXPECT_EQ(view.peaks.size(), 4U);
          for (const double order : {1.0, 2.0}) {
            const auto found = near(view, order * reel.rate_hz(30.0), 0.06);
            ASSERT_EQ(found.size(), 1U) << tape_um << " um, " << start_mm << " mm";
            const FlutterPeak& peak = found[0];
            const double change = order * reel.change_hz_per_minute(30.0);
            EXPECT_TRUE(peak.moving) << tape_um << " um, " << start_mm << " mm, order " << order;
            EXPECT_NEAR(peak.rate_hz, order * reel.rate_hz(30.0), 1.3 * peak.rate_u95_hz);
            EXPECT_NEAR(peak.peak_percent, order > 1.0 ? 0.02 : 0.1, order > 1.0 ? 0.0004 : 0.002);
            EXPECT_NEAR(peak.change_hz_per_minute, change, peak.change_u95_hz_per_minute);
            EXPECT_LT(peak.change_u95_hz_per_minute, 0.002);
          }
        }
}

// The steepest that the house knows: 0.69 to 0.645 Hz in a minute. Known after half a minute as well.
TEST(SlowMovers, KnowsAnEmptyHubAfterHalfAMinute) {
  const Reel reel{};
  auto points = points_of(
      [&](double t) { return 0.1 * std::sin(kTwoPi * reel.turns(t)) + 0.2 * std::sin(kTwoPi * 7.58 * t); }, 30.0);
  add_phase_noise(points, 1e-6, 4, 1000.0);
  auto spectrum = sampled();
  spectrum.process(points);
  const auto found = near(spectrum.analyse(1e-6).value(), reel.rate_hz(15.0), 0.06);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_TRUE(found[0].moving);
  EXPECT_NEAR(found[0].change_hz_per_minute, reel.change_hz_per_minute(15.0), found[0].change_u95_hz_per_minute);
  EXPECT_NEAR(found[0].peak_percent, 0.1, 0.002);
}

// Looked at every ten seconds of a side, with voids now and then: the newest minute, one part, its rate as the geometry
// has it.
TEST(SlowMovers, FollowsAReelForMinutes) {
  const Reel reel{.tape_um = 18.0, .start_mm = 11.0};
  auto spectrum = sampled();
  test::Noise noise(5);
  for (double from_s = 0.0; from_s < 300.0; from_s += 10.0) {
    auto points = points_of(
        [&](double t) {
          return 0.06 * std::sin(kTwoPi * reel.turns(t)) + 0.1 * std::sin(kTwoPi * 6.1 * t) + 0.005 * noise();
        },
        10.0, 1000.0, from_s);
    const auto at = static_cast<std::size_t>(9000.0 * noise.uniform());
    for (std::size_t n = at; n < at + 150; ++n) points[n] = {30.0, false};
    spectrum.process(points);
    const auto view = spectrum.analyse({}).value();
    if (view.span_s < 29.0) continue;
    const double middle_s = from_s + 10.0 - 0.5 * view.span_s;
    const auto found = near(view, reel.rate_hz(middle_s), 0.06);
    ASSERT_EQ(found.size(), 1U) << from_s;
    EXPECT_NEAR(found[0].rate_hz, reel.rate_hz(middle_s), 0.0006) << from_s;
    EXPECT_NEAR(found[0].peak_percent, 0.06, 0.0012) << from_s;
    if (view.span_s > 59.0) {
      EXPECT_TRUE(found[0].moving) << from_s;
      EXPECT_NEAR(found[0].change_hz_per_minute, reel.change_hz_per_minute(middle_s), 0.0015) << from_s;
    }
  }
}

// In random wow of half its strength: strength and change hold what they state, and where the change is lost in it
// nothing is called moving.
TEST(SlowMovers, StatedUncertaintyHoldsInRandomWow) {
  int called = 0;
  int change_held = 0;
  int peak_held = 0;
  constexpr int kRuns = 60;
  auto spectrum = sampled();
  for (std::uint64_t seed = 0; seed < kRuns; ++seed) {
    test::Noise noise(700 + seed);
    const Reel reel{.tape_um = 18.0, .start_mm = 11.0 + 5.0 * noise.uniform()};
    const double angle = kTwoPi * noise.uniform();
    double slow = 0.0;
    const auto deviation = [&](double t) {
      slow += 0.003 * (noise() - slow);
      return 0.05 * std::sin(kTwoPi * reel.turns(t) + angle) + 0.5 * slow + 0.1 * std::sin(kTwoPi * 7.6 * t);
    };
    spectrum.reset();
    spectrum.process(points_of(deviation, 60.0));
    const auto found = near(spectrum.analyse({}).value(), reel.rate_hz(30.0), 0.05);
    ASSERT_EQ(found.size(), 1U);
    if (!found[0].moving) continue;
    ++called;
    change_held +=
        std::abs(found[0].change_hz_per_minute - reel.change_hz_per_minute(30.0)) < found[0].change_u95_hz_per_minute;
    peak_held += std::abs(found[0].peak_percent - 0.05) < found[0].peak_u95_percent;
  }
  EXPECT_GE(called, kRuns / 2);
  EXPECT_TRUE(test::covers(change_held, called));
  EXPECT_TRUE(test::covers(peak_held, called));
}

// A portable's motor hunts: its rate wanders and comes back within seconds. Its parts are no reels.
TEST(SlowMovers, AWanderingMotorIsSeldomAMover) {
  int called = 0;
  int runs = 0;
  auto spectrum = sampled();
  for (const double rate_hz : {0.6, 1.2, 2.5})
    for (const double wander : {0.001, 0.003, 0.01, 0.03})
      for (const double back_s : {1.0, 5.0, 20.0})
        for (std::uint64_t seed = 0; seed < 6; ++seed) {
          test::Noise noise(900 + 31 * seed);
          double away = wander * noise();
          double turns = 0.0;
          const double keep = std::exp(-0.001 / back_s);
          spectrum.reset();
          spectrum.process(points_of(
              [&](double) {
                away = keep * away + std::sqrt(1.0 - keep * keep) * wander * noise();
                turns += 0.001 * rate_hz * (1.0 + away);
                return 0.1 * std::sin(kTwoPi * turns) + 0.002 * noise();
              },
              60.0));
          bool any = false;
          const auto view = spectrum.analyse({}).value();
          for (const FlutterPeak& peak : view.peaks) any = any || peak.moving;
          called += any;
          ++runs;
        }
  EXPECT_LE(called, 0.05 * runs);
}

TEST(SlowMovers, SteadyPartsStaySteady) {
  int called = 0;
  auto spectrum = sampled();
  for (std::uint64_t seed = 0; seed < 60; ++seed) {
    test::Noise noise(40 + seed);
    const double rate_hz = 0.3 + 2.5 * noise.uniform();
    auto points = points_of([&](double t) { return 0.01 * std::sin(kTwoPi * rate_hz * t) + 0.05 * noise(); }, 60.0);
    spectrum.reset();
    spectrum.process(points);
    const auto view = spectrum.analyse({}).value();
    EXPECT_EQ(near(view, rate_hz, 0.02).size(), 1U);
    for (const FlutterPeak& peak : view.peaks) called += peak.moving;
  }
  EXPECT_LE(called, 1);  // one and a half times u95, that is 3 sigma and more: 0.3 %
}

// The mean speed sags by 1 % in a minute, and every part with it: that is no reel.
TEST(SlowMovers, WhatKeepsToASaggingSpeedIsNoMover) {
  const auto turns = [](double t) { return t - 0.01 / 60.0 * t * t / 2.0; };
  auto spectrum = sampled();
  spectrum.process(points_of(
      [&](double t) {
        return 0.1 * std::sin(kTwoPi * 1.2 * turns(t)) + 0.1 * std::sin(kTwoPi * 2.4 * turns(t)) - t / 60.0;
      },
      60.0));
  const auto view = spectrum.analyse({}).value();
  for (const FlutterPeak& peak : view.peaks) EXPECT_FALSE(peak.moving) << peak.rate_hz;
}

TEST(SlowMovers, TwoSteadyNeighboursStayTwo) {
  for (const double widths : {3.0, 4.0, 6.0})
    for (const double angle : {0.0, 1.0, 2.0, 3.0, 4.0, 5.0}) {
      auto spectrum = sampled();
      spectrum.process(points_of(
          [&](double t) {
            return 0.1 * std::sin(kTwoPi * 0.45 * t) + 0.06 * std::sin(kTwoPi * (0.45 + widths / 60.0) * t + angle);
          },
          60.0));
      const auto view = spectrum.analyse({}).value();
      ASSERT_EQ(view.peaks.size(), 2U) << widths << " widths, " << angle;
      for (const FlutterPeak& peak : view.peaks) EXPECT_FALSE(peak.moving);
      EXPECT_NEAR(view.peaks[0].rate_hz, 0.45, 0.002);
      EXPECT_NEAR(view.peaks[1].rate_hz, 0.45 + widths / 60.0, 0.002);
    }
}

// Near the middle of a C60 both reels have almost the same rate, and pass each other.
TEST(SlowMovers, BothReelsAreFoundOnTheirWay) {
  for (const double start_mm : {11.0, 13.0, 15.0, 16.5, 21.0, 23.0})
    for (const double angle : {0.0, 1.5, 3.0, 4.5}) {
      const Reel take_up{.tape_um = 18.0, .start_mm = start_mm};
      // A full pack of 25 mm and an empty hub of 11 mm, shared.
      const Reel supply{.tape_um = 18.0, .start_mm = std::sqrt(746.0 - start_mm * start_mm), .supply = true};
      test::Noise noise(6);
      auto spectrum = sampled();
      spectrum.process(points_of(
          [&](double t) {
            return 0.1 * std::sin(kTwoPi * take_up.turns(t)) + 0.07 * std::sin(kTwoPi * supply.turns(t) + angle) +
                   0.002 * noise();
          },
          60.0));
      const auto view = spectrum.analyse({}).value();
      ASSERT_EQ(view.peaks.size(), 2U) << start_mm << " mm, " << angle;
      EXPECT_TRUE(view.peaks[0].moving && view.peaks[1].moving) << start_mm << " mm";
      EXPECT_NEAR(view.peaks[0].rate_hz, take_up.rate_hz(30.0), 0.001);
      EXPECT_NEAR(view.peaks[1].rate_hz, supply.rate_hz(30.0), 0.001);
      EXPECT_NEAR(view.peaks[0].peak_percent, 0.1, 0.003) << start_mm << " mm, " << angle;
      EXPECT_NEAR(view.peaks[1].peak_percent, 0.07, 0.003) << start_mm << " mm, " << angle;
      EXPECT_LT(view.peaks[0].change_hz_per_minute, 0.0);
      EXPECT_GT(view.peaks[1].change_hz_per_minute, 0.0);
    }
}

// Against random numbers: parts of a known strength of wander, as many as a sine's shape has. The limit is right for
// strengths as they come; for one alone it holds 89 times of a hundred at worst (three times the noise), and is not
// much wider than if the strength were known.
TEST(Wander, TheLimitHolds) {
  test::Noise noise(8);
  for (const double strength : {0.0, 1.0, 3.0, 10.0, 1000.0}) {
    int held = 0;
    double wider = 0.0;
    constexpr int kRuns = 2000;
    for (int i = 0; i < kRuns; ++i) {
      std::vector<WanderPart> parts;
      for (int n = 5; n < 18; ++n) {
        const double share = std::pow(2.0 / std::floor(n / 2.0), 2.0);
        parts.push_back({noise() + strength * share * noise(), 1.0, share});
      }
      const double limit = wander_u95(parts, 1.0);
      held += std::abs(noise() + strength * noise()) < limit;
      wider += limit / (1.96 * std::hypot(1.0, strength)) / kRuns;
    }
    EXPECT_GE(held, 0.88 * kRuns) << strength;
    EXPECT_LE(wider, 1.7) << strength;
  }
}

}  // namespace
}  // namespace four76
