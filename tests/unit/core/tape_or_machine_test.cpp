#include "core/bench/tape_or_machine.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

TEST(TapeOrMachine, ASingleReadingAgainstATrustedTapeIsTheMachines) {
  const std::vector<TableReading> readings = {{0, 0, 1.2, 0.03}};
  const std::vector<TableTruth> truths = {{true, 0, 0.2, 0.04}};
  const auto solved = solve_table(1, 1, readings, truths);
  ASSERT_TRUE(solved);
  EXPECT_NEAR(solved->machines[0].percent, 1.0, 1e-9);
  EXPECT_NEAR(solved->machines[0].u95_percent.value_or(0.0), 0.05, 1e-6);  // 3-4-5
  EXPECT_FALSE(solved->enough);
  EXPECT_TRUE(solved->tied[0]);
}

TEST(TapeOrMachine, WithoutTrustOnlyDifferencesAreTold) {
  // Tapes 0 and +1, machines +2 and -1.
  const std::vector<TableReading> readings = {{0, 0, 2.0, 0.1}, {0, 1, -1.0, 0.1}, {1, 0, 3.0, 0.1}, {1, 1, 0.0, 0.1}};
  const auto solved = solve_table(2, 2, readings, {});
  ASSERT_TRUE(solved);
  EXPECT_EQ(solved->groups, 1u);
  EXPECT_FALSE(solved->tied[0]);
  EXPECT_EQ(solved->tapes[0].u95_percent, std::nullopt);
  EXPECT_NEAR(solved->tapes[0].percent + solved->tapes[1].percent, 0.0, 1e-6);
  EXPECT_NEAR(difference_of_tapes(*solved, 1, 0)->percent, 1.0, 1e-6);
  EXPECT_NEAR(difference_of_machines(*solved, 0, 1)->percent, 3.0, 1e-6);
  EXPECT_NEAR(difference_of_machines(*solved, 0, 1)->u95_percent, 0.1, 1e-4);  // the mean of two pairs of 0.1414
  EXPECT_NEAR(solved->misfit.value_or(9.0), 0.0, 1e-6);
}

TEST(TapeOrMachine, GroupsThatDoNotMeetAreNotCompared) {
  const std::vector<TableReading> readings = {{0, 0, 1.0, 0.1}, {1, 1, 1.0, 0.1}};
  const std::vector<TableTruth> truths = {{false, 1, 0.5, 0.1}};
  const auto solved = solve_table(2, 3, readings, truths);  // nothing was played on the third machine
  ASSERT_TRUE(solved);
  EXPECT_EQ(solved->groups, 3u);
  EXPECT_EQ(difference_of_tapes(*solved, 0, 1), std::nullopt);
  EXPECT_EQ(difference_of_machines(*solved, 0, 2), std::nullopt);
  EXPECT_EQ(solved->tapes[0].u95_percent, std::nullopt);
  EXPECT_NEAR(solved->tapes[1].percent, 0.5, 1e-9);
  EXPECT_TRUE(solved->tapes[1].u95_percent.has_value());
}

TEST(TapeOrMachine, PointsToTheReadingThatDoesNotFit) {
  const double tapes[] = {0.0, 0.4, -0.3, 0.1}, machines[] = {1.0, -0.5, 0.2};
  test::Noise noise(3);
  std::vector<TableReading> readings;
  for (std::size_t t = 0; t < 4; ++t)
    for (std::size_t m = 0; m < 3; ++m) readings.push_back({t, m, tapes[t] + machines[m] + 0.01 * noise(), 0.02});
  readings[5].percent += 0.5;
  const std::vector<TableTruth> truths = {{true, 0, 0.0, 0.02}};
  const auto solved = solve_table(4, 3, readings, truths);
  ASSERT_TRUE(solved);
  ASSERT_EQ(solved->left_out, (std::vector<std::size_t>{5}));
  EXPECT_NEAR(solved->residuals_percent[5], 0.5, 0.05);
  for (std::size_t m = 0; m < 3; ++m) EXPECT_NEAR(solved->machines[m].percent, machines[m], 0.04) << m;
}

TEST(TapeOrMachine, TheUncertaintyHoldsTheTruth) {
  test::Noise noise(11);
  int inside = 0, all = 0;
  for (int run = 0; run < 2000; ++run) {
    const double tapes[] = {noise(), noise(), noise()}, machines[] = {noise(), noise()};
    std::vector<TableReading> readings;
    for (std::size_t t = 0; t < 3; ++t)
      for (std::size_t m = 0; m < 2; ++m) {
        const double u95 = 0.05 * static_cast<double>(1 + t);
        readings.push_back({t, m, tapes[t] + machines[m] + u95 / 1.96 * noise(), u95});
      }
    const std::vector<TableTruth> truths = {{true, 0, tapes[0] + 0.1 / 1.96 * noise(), 0.1}};
    const auto solved = solve_table(3, 2, readings, truths);
    ASSERT_TRUE(solved);
    for (std::size_t m = 0; m < 2; ++m, ++all)
      inside += std::abs(solved->machines[m].percent - machines[m]) <= *solved->machines[m].u95_percent ? 1 : 0;
  }
  EXPECT_GT(inside, 0.935 * all);
  EXPECT_LT(inside, 0.965 * all);
}

TEST(TapeOrMachine, RefusesWhatCannotBe) {
  const std::vector<TableReading> good = {{0, 0, 1.0, 0.1}};
  EXPECT_FALSE(solve_table(0, 1, good, {}));
  EXPECT_FALSE(solve_table(1, 1, {}, {}));
  EXPECT_FALSE(solve_table(kMostInTable + 1, 1, good, {}));
  for (const TableReading& bad :
       {TableReading{1, 0, 1.0, 0.1}, TableReading{0, 1, 1.0, 0.1}, TableReading{0, 0, std::nan(""), 0.1},
        TableReading{0, 0, 1.0, 0.0}, TableReading{0, 0, 1.0, -1.0}}) {
    const std::vector<TableReading> readings = {bad};
    EXPECT_FALSE(solve_table(1, 1, readings, {}));
  }
}

}  // namespace
}  // namespace four76
