// The budget's sum against hand-made sums of squares; what is not known is never a nought.
#include "core/records/error_budget.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace four76 {
namespace {

Reading reading(double noise_percent, double wow_percent, double error_percent = 0.0) {
  Reading made;
  made.status = Status::measured;
  made.speed_error_percent = error_percent;
  made.noise_u95_percent = noise_percent;
  made.wow_u95_percent = wow_percent;
  made.u95_percent = std::sqrt(noise_percent * noise_percent + wow_percent * wow_percent);
  return made;
}

TEST(ErrorBudget, AddsIndependentHalfWidthsAsSquares) {
  const ErrorBudget budget = error_budget(reading(0.003, 0.004), 120.0, 0.0);
  EXPECT_DOUBLE_EQ(*budget.noise_percent, 0.003);
  EXPECT_DOUBLE_EQ(*budget.wow_percent, 0.004);
  EXPECT_DOUBLE_EQ(*budget.clock_percent, 0.012);  // 120 ppm
  EXPECT_DOUBLE_EQ(*budget.tape_percent, 0.0);     // known, and nothing
  EXPECT_NEAR(*budget.sum_percent, 0.013, 1e-15);  // 3, 4, 12: 13
}

TEST(ErrorBudget, LeavesOutWhatIsNotKnown) {
  const ErrorBudget budget = error_budget(reading(0.03, 0.04), std::nullopt, std::nullopt);
  EXPECT_FALSE(budget.clock_percent.has_value());
  EXPECT_FALSE(budget.tape_percent.has_value());
  EXPECT_NEAR(*budget.sum_percent, 0.05, 1e-15);
}

TEST(ErrorBudget, AnUncheckedClockIsAHundredthOfAPercent) {
  EXPECT_NEAR(*error_budget(reading(0.0, 0.0), kUncheckedClock_ppm, std::nullopt).sum_percent, 0.01, 1e-15);
}

TEST(ErrorBudget, ClockAndTapeAreARelativePartOfTheSpeed) {
  const ErrorBudget budget = error_budget(reading(0.0, 0.0, 5.0), 100.0, 0.2);
  EXPECT_NEAR(*budget.clock_percent, 0.0105, 1e-12);
  EXPECT_NEAR(*budget.tape_percent, 0.21, 1e-12);
}

TEST(ErrorBudget, WithoutAnUncertaintyThereIsNoSum) {
  const ErrorBudget budget = error_budget(Reading{}, 100.0, 0.1);
  EXPECT_FALSE(budget.noise_percent || budget.wow_percent || budget.sum_percent);
  EXPECT_TRUE(budget.clock_percent && budget.tape_percent);
}

TEST(ErrorBudget, NeverSumsToLessThanTheReadingsOwn) {
  Reading wider = reading(0.003, 0.004);
  wider.u95_percent = 0.02;
  EXPECT_NEAR(*error_budget(wider, 0.0, std::nullopt).sum_percent, 0.02, 1e-15);
  wider.u95_percent = 0.001;
  EXPECT_NEAR(*error_budget(wider, 0.0, std::nullopt).sum_percent, 0.005, 1e-15);
}

TEST(ErrorBudget, TakesNoNonsense) {
  for (const double bad : {std::nan(""), std::numeric_limits<double>::infinity(), -1.0}) {
    const ErrorBudget budget = error_budget(reading(0.003, 0.004), bad, bad);
    EXPECT_FALSE(budget.clock_percent.has_value());
    EXPECT_FALSE(budget.tape_percent.has_value());
    EXPECT_NEAR(*budget.sum_percent, 0.005, 1e-15);
  }
}

}  // namespace
}  // namespace four76
