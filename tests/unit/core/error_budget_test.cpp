// The budget's sum against hand-made sums of squares and the worked example of the GUM; what is not known is never a
// nought.
#include "core/records/error_budget.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "core/signal/statistics.hpp"

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

// GUM, JCGM 100:2008, annex H.1 (sources.md#uncertainty): an end gauge of 50 mm is compared with a standard. Four terms
// count: the standard's certificate (75 nm at k = 3), the comparison (repeatability 13 nm over five observations; the
// comparator's 10 nm at 95 % with five degrees of freedom; its 20 nm at three sigma), how much the two gauges differ in
// expansion (within 1e-6 a degree, 0.1 degrees from 20), and in temperature (within 0.05 degrees, at 11.5e-6 a degree).
// Published: 25, 9.7, 2.9 and 16.6 nm, together u_c^2 = 1002 nm^2 and u_c = 32 nm, 6.4e-7 of the length.
// From memory, but the inputs lead to the published results to every digit, and one that was wrong would not.
TEST(ErrorBudget, AddsUpTheEndGaugeOfTheGuide) {
  constexpr double kGauge_nm = 50.000838e6, kStandard_nm = 50.000623e6;
  constexpr double kPercent_nm = kGauge_nm / 100.0, kPpm_nm = kGauge_nm / 1e6;
  const double certificate_nm = 75.0 / 3.0;
  const double comparison_nm = std::hypot(13.0 / std::sqrt(5.0), 10.0 / student_t95(5.0), 20.0 / 3.0);
  const double expansion_nm = kStandard_nm * 0.1 * 1e-6 / std::sqrt(3.0);
  const double temperature_nm = kStandard_nm * 11.5e-6 * 0.05 / std::sqrt(3.0);

  const ErrorBudget budget = error_budget(reading(comparison_nm / kPercent_nm, expansion_nm / kPercent_nm),
                                          temperature_nm / kPpm_nm, certificate_nm / kPercent_nm);
  EXPECT_NEAR(*budget.tape_percent * kPercent_nm, 25.0, 0.05);
  EXPECT_NEAR(*budget.noise_percent * kPercent_nm, 9.7, 0.05);
  EXPECT_NEAR(*budget.wow_percent * kPercent_nm, 2.9, 0.05);
  EXPECT_NEAR(*budget.clock_percent * kPercent_nm, 16.6, 0.05);
  const double combined_nm = *budget.sum_percent * kPercent_nm;
  EXPECT_NEAR(combined_nm * combined_nm, 1002.0, 0.5);
  EXPECT_NEAR(combined_nm, 32.0, 0.5);
  EXPECT_NEAR(*budget.sum_percent / 100.0, 6.4e-7, 0.1e-7);
}

// GUM, 5.1.3, note 2: a term is half of what its source does to the result when it goes from -u to +u.
TEST(ErrorBudget, MovesTheSpeedAsItsDefinitionDoes) {
  const auto speed_percent = [](double clock, double tape, double reference) {
    return 100.0 * (1.0 + clock) * (1.0 + reference) * 3120.0 / (3000.0 * (1.0 + tape));
  };
  const auto half = [](double up, double down) { return std::abs(up - down) / 2.0; };
  const ErrorBudget budget = error_budget(reading(0.0, 0.0, 4.0), 250.0, 0.3, 40.0);
  EXPECT_NEAR(*budget.clock_percent, half(speed_percent(250e-6, 0, 0), speed_percent(-250e-6, 0, 0)), 1e-9);
  EXPECT_NEAR(*budget.tape_percent, half(speed_percent(0, 3e-3, 0), speed_percent(0, -3e-3, 0)), 1e-5);
  EXPECT_NEAR(*budget.reference_percent, half(speed_percent(0, 0, 40e-6), speed_percent(0, 0, -40e-6)), 1e-9);
}

}  // namespace
}  // namespace four76
