// Rates of the parts against the usual ones at 4.76 cm/s (sources.md#rotating-parts), and against a reel that is wound
// up turn by turn.
#include "core/flutter/rotating_parts.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>
#include <set>
#include <string_view>

namespace four76 {
namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

double middle(const RateRange& range) { return std::sqrt(range.low_hz * range.high_hz); }
RateRange range_of(Part part, const KnownParts& known = {}) { return *rate_range(part, known); }

KnownParts capstan_of(double mm) {
  KnownParts known;
  known.capstan_diameter_mm = mm;
  return known;
}
KnownParts roller_of(double mm) {
  KnownParts known;
  known.roller_diameter_mm = mm;
  return known;
}

TEST(RotatingParts, TurnAtTheUsualRates) {
  EXPECT_NEAR(range_of(Part::capstan).low_hz, 5.05, 0.01);   // 3 mm
  EXPECT_NEAR(range_of(Part::capstan).high_hz, 10.1, 0.01);  // 1.5 mm
  EXPECT_NEAR(range_of(Part::pinch_roller).low_hz, 1.12, 0.005);
  EXPECT_NEAR(range_of(Part::pinch_roller).high_hz, 1.38, 0.005);
  for (const Part reel : {Part::supply_reel, Part::take_up_reel}) {
    EXPECT_NEAR(range_of(reel).low_hz, 0.30, 0.005);   // full, 51 mm
    EXPECT_NEAR(range_of(reel).high_hz, 0.72, 0.005);  // hub, 21 mm
  }
  EXPECT_LE(range_of(Part::motor).low_hz, 40.0);
  EXPECT_GE(range_of(Part::motor).high_hz, 40.0);
  EXPECT_DOUBLE_EQ(range_of(Part::belt).low_hz, 1.0);
  EXPECT_DOUBLE_EQ(range_of(Part::belt).high_hz, 4.0);
}

TEST(RotatingParts, TurnAsMeasured) {
  EXPECT_NEAR(middle(range_of(Part::capstan, capstan_of(2.0))), 7.58, 0.02);
  EXPECT_NEAR(middle(range_of(Part::capstan, capstan_of(2.5))), 6.06, 0.02);
  EXPECT_NEAR(middle(range_of(Part::pinch_roller, roller_of(11.0))), 1.38, 0.005);
  EXPECT_NEAR(middle(range_of(Part::pinch_roller, roller_of(13.5))), 1.12, 0.005);
  EXPECT_EQ(range_of(Part::capstan, capstan_of(2.0)).knowledge, Knowledge::entered);
  EXPECT_EQ(range_of(Part::capstan).knowledge, Knowledge::usual);
  KnownParts motor;
  motor.motor_rpm = 2400.0;
  EXPECT_NEAR(middle(range_of(Part::motor, motor)), 40.0, 0.03);
}

TEST(RotatingParts, AreTheNarrowerTheBetterTheyAreKnown) {
  const RateRange thin = range_of(Part::capstan, capstan_of(2.0)), thick = range_of(Part::capstan, capstan_of(3.0));
  EXPECT_GT(thin.high_hz / thin.low_hz, thick.high_hz / thick.low_hz);
  EXPECT_LT(thin.high_hz / thin.low_hz, 1.07);  // 0.05 of 2 mm, and slip, either way
}

TEST(RotatingParts, FollowTheSpeedOfTheTape) {
  KnownParts twice = capstan_of(2.0);
  twice.tape_speed_cm_s = 2.0 * kCassetteSpeed_cm_s;
  EXPECT_NEAR(range_of(Part::capstan, twice).low_hz, 2.0 * range_of(Part::capstan, capstan_of(2.0)).low_hz, 1e-9);
  EXPECT_NEAR(rate_range(Part::capstan, capstan_of(2.0), 3.0)->low_hz,
              1.03 * range_of(Part::capstan, capstan_of(2.0)).low_hz, 1e-9);
}

TEST(RotatingParts, ABeltRunsOnTheFlywheelsRim) {
  KnownParts known = capstan_of(2.0);
  known.flywheel_diameter_mm = 40.0;
  known.belt_length_mm = 400.0;
  // The rim goes 40 / 2 times as fast as the tape: 952.5 mm/s.
  EXPECT_NEAR(middle(range_of(Part::belt, known)), 952.5 / 400.0, 0.02);
  EXPECT_EQ(range_of(Part::belt, known).knowledge, Knowledge::entered);
  EXPECT_NEAR(implied_by(Part::belt, 952.5 / 400.0, known)->value, 400.0, 2.0);
  EXPECT_FALSE(implied_by(Part::belt, 2.4, KnownParts{}).has_value());
  // The pulley turns 40 / 8 times as often as the flywheel; the idler on the rim 40 / 20 times.
  known.motor_pulley_diameter_mm = 8.0;
  EXPECT_NEAR(middle(range_of(Part::motor, known)), 5.0 * 7.58, 0.2);
  known.idler_diameter_mm = 20.0;
  EXPECT_NEAR(middle(range_of(Part::idler, known)), 2.0 * 7.58, 0.1);
}

TEST(RotatingParts, ABeltRunsOnTheMotorsPulley) {
  KnownParts known;
  known.motor_rpm = 2400.0;
  known.motor_pulley_diameter_mm = 6.0;
  known.belt_length_mm = 300.0;
  EXPECT_NEAR(middle(range_of(Part::belt, known)), 40.0 * std::numbers::pi * 6.0 / 300.0, 0.02);
}

TEST(RotatingParts, NothingIsSaidOfAnIdlerUnknown) { EXPECT_FALSE(rate_range(Part::idler, KnownParts{}).has_value()); }

TEST(RotatingParts, SayWhatARateWouldBe) {
  EXPECT_NEAR(implied_by(Part::capstan, 7.58, {})->value, 2.0, 0.005);
  EXPECT_NEAR(implied_by(Part::capstan, 6.06, {})->value, 2.5, 0.005);
  EXPECT_NEAR(implied_by(Part::pinch_roller, 1.263, {})->value, 12.0, 0.02);
  EXPECT_NEAR(implied_by(Part::motor, 40.0, {})->value, 2400.0, 1e-9);
  EXPECT_NEAR(implied_by(Part::take_up_reel, 0.30, {})->value, 50.5, 0.1);
  EXPECT_EQ(implied_by(Part::take_up_reel, 0.30, {})->kind, DimensionKind::pack_diameter_mm);
  // A machine that runs 10 % fast turns a 2 mm capstan at 8.34 Hz.
  EXPECT_NEAR(implied_by(Part::capstan, 8.34, {}, 10.0)->value, 2.0, 0.005);
}

// A reel wound up turn by turn, each one tape thicker than the last.
struct WoundReel {
  double radius_mm, wound_mm = 0.0;
  void wind(double length_mm, double thickness_mm) {
    while (wound_mm < length_mm) {
      wound_mm += 2.0 * std::numbers::pi * (radius_mm + thickness_mm / 2.0);
      radius_mm += thickness_mm;
    }
  }
};

TEST(RotatingParts, ReelsTurnAsWoundTurnByTurn) {
  for (const TapeKind kind : {TapeKind::c60, TapeKind::c90, TapeKind::c120})
    for (const double share : {0.0, 0.25, 0.5, 0.75, 1.0}) {
      WoundReel take_up{10.75}, supply{10.75};
      const double length_mm = 1000.0 * tape_length_m(kind), thickness_mm = 1e-3 * tape_thickness_um(kind);
      take_up.wind(share * length_mm, thickness_mm);
      supply.wind((1.0 - share) * length_mm, thickness_mm);
      KnownParts known;
      known.tape_kind = kind;
      known.side_played_share = share;
      for (const auto& [part, radius] :
           {std::pair{Part::take_up_reel, take_up.radius_mm}, std::pair{Part::supply_reel, supply.radius_mm}}) {
        const double rate_hz = 47.625 / (2.0 * std::numbers::pi * radius);
        const RateRange range = range_of(part, known);
        EXPECT_LE(range.low_hz, rate_hz) << share;
        EXPECT_GE(range.high_hz, rate_hz) << share;
        EXPECT_LT(range.high_hz / range.low_hz, 1.2) << share;
        EXPECT_EQ(range.knowledge, Knowledge::entered);
      }
    }
}

TEST(RotatingParts, AReelsRateMovesAsWoundTurnByTurn) {
  for (const TapeKind kind : {TapeKind::c60, TapeKind::c90, TapeKind::c120}) {
    const double thickness_um = tape_thickness_um(kind);
    WoundReel reel{14.0};
    const double before_hz = 47.625 / (2.0 * std::numbers::pi * reel.radius_mm);
    reel.wind(60.0 * 47.625, 1e-3 * thickness_um);
    const double after_hz = 47.625 / (2.0 * std::numbers::pi * reel.radius_mm);
    const double minutes = reel.wound_mm / 47.625 / 60.0, change = (after_hz - before_hz) / minutes;
    const double mean_hz = 0.5 * (before_hz + after_hz);
    EXPECT_NEAR(reel_change_hz_per_minute(mean_hz, thickness_um, 47.625), -change, 0.01 * -change);
    EXPECT_NEAR(implied_thickness_um(mean_hz, change, 47.625), thickness_um, 0.01 * thickness_um);
  }
}

TEST(KnownParts, FaultsAreSaidAndLeftOut) {
  EXPECT_FALSE(fault_in(KnownParts{}).has_value());
  EXPECT_FALSE(fault_in(capstan_of(2.0)).has_value());
  for (const double bad : {0.0, -2.0, 200.0, kNaN, std::numeric_limits<double>::infinity()}) {
    const auto fault = fault_in(capstan_of(bad));
    ASSERT_TRUE(fault.has_value()) << bad;
    EXPECT_NE(fault->find("apstan"), std::string_view::npos);
    EXPECT_NE(fault->find("Measure"), std::string_view::npos);  // what to do
    EXPECT_DOUBLE_EQ(range_of(Part::capstan, capstan_of(bad)).low_hz, range_of(Part::capstan).low_hz);
  }
  KnownParts swapped = capstan_of(8.0);
  swapped.flywheel_diameter_mm = 8.0;
  EXPECT_TRUE(fault_in(swapped).has_value());
  EXPECT_FALSE(fault_in(without_faults(swapped)).has_value());
  KnownParts place;
  place.side_played_share = 1.2;
  EXPECT_TRUE(fault_in(place).has_value());
}

TEST(RotatingParts, StayFiniteOnAnything) {
  KnownParts wild;
  wild.capstan_diameter_mm = wild.roller_diameter_mm = wild.motor_rpm = wild.belt_length_mm = kNaN;
  wild.flywheel_diameter_mm = wild.idler_diameter_mm = wild.motor_pulley_diameter_mm = 1e300;
  wild.tape_speed_cm_s = 0.0;
  std::set<std::string_view> names;
  for (std::size_t i = 0; i < kPartCount; ++i) {
    const Part part = static_cast<Part>(i);
    names.insert(name_of(part));
    for (const double error : {0.0, kNaN, -100.0, 1e308})
      if (const auto range = rate_range(part, wild, error)) {
        EXPECT_TRUE(range->low_hz > 0.0 && range->high_hz > range->low_hz && range->high_hz < 1e4);
      }
    for (const double rate : {0.0, -1.0, kNaN, std::numeric_limits<double>::infinity()})
      EXPECT_FALSE(implied_by(part, rate, wild).has_value());
  }
  EXPECT_EQ(names.size(), kPartCount);
}

}  // namespace
}  // namespace four76
