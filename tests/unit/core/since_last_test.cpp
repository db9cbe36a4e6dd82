#include "core/bench/since_last.hpp"

#include <gtest/gtest.h>

#include <vector>

namespace four76 {
namespace {

Measurement visit(VisitStage stage, const char* time, double percent) {
  Measurement measurement;
  measurement.stage = stage;
  measurement.time = time;
  MeasuredChannel channel;
  channel.status = Status::measured;
  channel.speed_error_percent = percent;
  channel.u95_percent = 0.03;
  measurement.channels = {channel};
  return measurement;
}

TEST(SinceLast, WhatCameBackWithinDaysIsABelt) {
  const std::vector<Measurement> back = {visit(VisitStage::as_found, "2026-11-01 10:00", -1.8),
                                         visit(VisitStage::as_left, "2026-11-01 11:00", 0.0),
                                         visit(VisitStage::as_found, "2026-11-06 10:00", -1.2)};
  const SinceLast since = compare_visits(back);
  EXPECT_EQ(since.verdict, SinceVerdict::came_back);
  EXPECT_EQ(since.days, 5);
  EXPECT_NEAR(since.change_percent, -1.2, 1e-9);
  auto other = back;
  other[2] = visit(VisitStage::as_found, "2026-11-06 10:00", 1.2);
  EXPECT_EQ(compare_visits(other).verdict, SinceVerdict::moved);
  other[2] = visit(VisitStage::as_found, "2027-11-06 10:00", -1.2);
  EXPECT_EQ(compare_visits(other).verdict, SinceVerdict::moved);  // a year is no wonder
  other[2] = visit(VisitStage::as_found, "2026-11-06 10:00", 0.1);
  EXPECT_EQ(compare_visits(other).verdict, SinceVerdict::held);
  EXPECT_EQ(compare_visits(std::span(back).first(2)).verdict, SinceVerdict::nothing_to_compare);
  EXPECT_EQ(compare_visits({}).verdict, SinceVerdict::nothing_to_compare);
}

TEST(SinceLast, CountsDaysByTheCalendar) {
  EXPECT_EQ(days_of("1970-01-01"), 0);
  EXPECT_EQ(days_of("2000-03-01 12:00"), 11017);
  EXPECT_EQ(*days_of("2024-03-01") - *days_of("2024-02-28"), 2);
  EXPECT_EQ(*days_of("2100-03-01") - *days_of("2100-02-28"), 1);
  EXPECT_EQ(days_of("yesterday"), std::nullopt);
  EXPECT_EQ(days_of(""), std::nullopt);
}

}  // namespace
}  // namespace four76
