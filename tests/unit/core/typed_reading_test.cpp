#include "core/bench/typed_reading.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace four76 {
namespace {

TEST(TypedReading, TakesAMetersResolutionAndAccuracyAsUncertainty) {
  const auto reading = reading_of(MeterShown{3012.0, 1.0, 0.0}, 3000.0);
  ASSERT_TRUE(reading);
  EXPECT_EQ(reading->status, Status::measured);
  EXPECT_NEAR(*reading->speed_error_percent, 0.4, 1e-9);
  EXPECT_NEAR(*reading->u95_percent, 100.0 * 0.5 / 3000.0, 1e-9);
  EXPECT_NEAR(*reading_of(MeterShown{3000.0, 0.1, 0.1}, 3000.0)->u95_percent, 0.1 + 100.0 * 0.05 / 3000.0, 1e-9);
}

TEST(TypedReading, ReadsTheResolutionOffTheDigits) {
  EXPECT_EQ(resolution_of("3000"), 1.0);
  EXPECT_NEAR(resolution_of("3001.25").value_or(0.0), 0.01, 1e-12);
  EXPECT_EQ(resolution_of("3.0e3"), std::nullopt);
  EXPECT_EQ(resolution_of(""), std::nullopt);
}

TEST(TypedReading, TakesATimingWithTheHandsUncertainty) {
  // 3 minutes played in 2:58.2: 1.0101 % fast; two presses of 0.2 s are 0.16 % of it.
  const auto reading = reading_of(Timed{180.0, 178.2, 0.0, 0.2}, 3000.0);
  ASSERT_TRUE(reading);
  EXPECT_NEAR(*reading->speed_error_percent, 1.0101, 1e-4);
  EXPECT_NEAR(*reading->u95_percent, 1.010101 * 100.0 * 0.282843 / 178.2, 1e-5);
  EXPECT_GT(*reading_of(Timed{180.0, 178.2}, 3000.0)->u95_percent, 0.3);
}

TEST(TypedReading, RefusesWhatCannotBe) {
  EXPECT_EQ(reading_of(MeterShown{315.0, 1.0}, 3150.0).fault(), TypedFault::out_of_range);
  EXPECT_EQ(reading_of(MeterShown{std::nan(""), 1.0}, 3150.0).fault(), TypedFault::not_a_number);
  EXPECT_EQ(reading_of(MeterShown{-3000.0, 1.0}, 3150.0).fault(), TypedFault::not_a_number);
  EXPECT_EQ(reading_of(MeterShown{3000.0, 0.0}, 3000.0).fault(), TypedFault::no_resolution);
  EXPECT_EQ(reading_of(Timed{10.0, 10.0}, 3000.0).fault(), TypedFault::too_short);
  EXPECT_EQ(reading_of(Timed{180.0, INFINITY}, 3000.0).fault(), TypedFault::not_a_number);
  EXPECT_EQ(reading_of(Timed{180.0, 90.0}, 3000.0).fault(), TypedFault::out_of_range);
  for (const TypedFault fault :
       {TypedFault::not_a_number, TypedFault::out_of_range, TypedFault::no_resolution, TypedFault::too_short})
    EXPECT_FALSE(message_of(fault).empty());
}

}  // namespace
}  // namespace four76
