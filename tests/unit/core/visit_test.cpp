#include "core/bench/visit.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace four76 {
namespace {

MeasuredChannel channel_at(double percent, double u95, std::string_view name = "mono") {
  MeasuredChannel channel;
  channel.channel = name;
  channel.status = Status::measured;
  channel.speed_error_percent = percent;
  channel.u95_percent = u95;
  return channel;
}

Measurement measured(double percent, double u95) {
  Measurement measurement;
  measurement.channels = {channel_at(percent, u95)};
  return measurement;
}

TEST(Visit, JudgesAgainstTheTolerance) {
  EXPECT_EQ(verdict_of(measured(0.3, 0.1)), VisitVerdict::within);
  EXPECT_EQ(verdict_of(measured(-0.7, 0.1)), VisitVerdict::outside);
  EXPECT_EQ(verdict_of(measured(0.45, 0.1)), VisitVerdict::cannot_be_told);
  EXPECT_EQ(verdict_of(Measurement{}), VisitVerdict::not_measured);
  Measurement unsure = measured(0.0, 0.1);
  unsure.channels[0].status = Status::unreliable;
  EXPECT_EQ(verdict_of(unsure), VisitVerdict::not_measured);
}

TEST(Visit, CountsTheTapesOwnErrorAndTheClocks) {
  Measurement measurement = measured(0.0, 0.03);
  measurement.tape_u95_percent = 0.04;
  EXPECT_NEAR(speed_of(measurement)->u95_percent, 0.05, 1e-12);
  measurement.clock_u95_ppm = 1200.0;  // 0.12 %
  EXPECT_NEAR(speed_of(measurement)->u95_percent, 0.13, 1e-12);
}

TEST(Visit, TakesBothChannelsAndSaysWhereTheyDiffer) {
  Measurement measurement;
  measurement.channels = {channel_at(0.20, 0.02, "left"), channel_at(0.22, 0.02, "right")};
  EXPECT_NEAR(speed_of(measurement)->percent, 0.21, 1e-12);
  EXPECT_EQ(channels_apart_percent(measurement), 0.0);
  measurement.channels[1].speed_error_percent = 0.4;
  EXPECT_NEAR(channels_apart_percent(measurement).value_or(0.0), 0.2, 1e-12);
  EXPECT_NEAR(speed_of(measurement)->u95_percent, 0.1, 1e-12);
  EXPECT_EQ(channels_apart_percent(measured(0.1, 0.1)), std::nullopt);
}

// As the session says it: within the joint uncertainty and 0.05 % together, not within the larger of them.
TEST(Visit, ChannelsAgreeWhereTheSessionSaysSo) {
  Measurement measurement;
  measurement.channels = {channel_at(0.20, 0.04, "left"), channel_at(0.30, 0.04, "right")};  // hypot: 0.057
  EXPECT_EQ(channels_apart_percent(measurement), 0.0);
  measurement.channels[1].speed_error_percent = 0.31;
  EXPECT_NEAR(channels_apart_percent(measurement).value_or(0.0), 0.11, 1e-12);
}

TEST(Visit, SpreadsOverTheTapesPlaces) {
  std::vector<Measurement> all = {measured(0.1, 0.01), measured(0.3, 0.01), measured(-0.1, 0.01)};
  EXPECT_EQ(spread_over_tape_percent(all), std::nullopt);
  all[0].place = TapePlace::start;
  all[1].place = TapePlace::middle;
  all[2].place = TapePlace::end;
  EXPECT_NEAR(spread_over_tape_percent(all).value_or(0.0), 0.4, 1e-12);
}

TEST(Visit, KeepsWhatTheSessionMeasured) {
  Reading whole;
  whole.status = Status::measured;
  whole.speed_error_percent = 0.5;
  whole.reasons.add(Reason::room_noise);
  FlutterReading flutter;
  flutter.weighted_two_sigma.emplace().percent = 0.11;
  std::vector<FlutterPeak> peaks(20);
  peaks[0].rate_hz = 7.6;
  const MeasuredChannel kept = measured_channel("left", whole, flutter, peaks);
  EXPECT_EQ(kept.weighted_two_sigma_percent, 0.11);
  EXPECT_EQ(kept.unweighted_two_sigma_percent, std::nullopt);
  EXPECT_TRUE(kept.reasons.contains(Reason::room_noise));
  ASSERT_EQ(kept.components.size(), kMostComponents);
  EXPECT_EQ(kept.components[0].rate_hz, 7.6);
}

TEST(Visit, ThinsASpectrumWithoutLosingItsPeaks) {
  std::vector<float> level(1000, -90.0F);
  level[617] = -12.0F;
  const auto thin = thinned_spectrum(level, 256);
  EXPECT_LE(thin.size(), 256u);
  EXPECT_EQ(thin[617 / 4], -12.0);
  EXPECT_TRUE(thinned_spectrum({}, 256).empty());
}

TEST(TimedRun, KeepsTheCourseAndSaysWhenItIsOver) {
  TimedRun run({.seconds = 24.0});
  Reading dial;
  for (int i = 0; i <= 800; ++i) {
    dial.time_s = 100.0 + 0.05 * i;
    const bool gap = i >= 40 && i < 80;
    dial.status = gap ? Status::no_tone : Status::measured;
    dial.speed_error_percent = gap ? std::nullopt : std::optional(0.01 * i);
    run.add(dial);
    EXPECT_EQ(run.done(), i >= 480) << i;
  }
  EXPECT_NEAR(run.passed_s(), 24.0, 1e-9);
  EXPECT_NEAR(run.measured_share(), 441.0 / 481.0, 1e-9);
  const auto course = run.course();
  ASSERT_EQ(course.size(), kMostCourse);
  EXPECT_FALSE(course[30].has_value());
  EXPECT_NEAR(course[200].value_or(0.0), 4.0, 0.02);
}

// A point closer than the dial reads would leave every other one empty, and no line to draw.
TEST(TimedRun, AShortOneHasNoHolesInItsCourse) {
  TimedRun run({.seconds = 5.0});
  Reading dial;
  dial.status = Status::measured;
  dial.speed_error_percent = 0.3;
  for (int i = 0; i <= 100; ++i) {
    dial.time_s = 0.05 * i;
    run.add(dial);
  }
  const auto course = run.course();
  EXPECT_EQ(course.size(), 50u);
  EXPECT_TRUE(std::all_of(course.begin(), course.end(), [](const auto& each) { return each.has_value(); }));
}

}  // namespace
}  // namespace four76
