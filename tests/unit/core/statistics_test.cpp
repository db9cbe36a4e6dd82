#include "core/signal/statistics.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <utility>
#include <vector>

namespace four76 {
namespace {

TEST(Median, IsTheMiddleValueAndTheLowerOfTwo) {
  std::vector<double> odd{5.0, -1.0, 3.0};
  EXPECT_EQ(median_of(odd), 3.0);
  std::vector<double> even{4.0, 1.0, 3.0, 2.0};
  EXPECT_EQ(median_of(even), 2.0);
  std::vector<float> one{7.0F};
  EXPECT_EQ(median_of(one), 7.0F);
  std::vector<float> equal(9, 2.0F);
  EXPECT_EQ(median_of(equal), 2.0F);
}

// Student's t, two-sided 95 %: the values of any printed table (here from memory, as in the NIST/SEMATECH e-Handbook
// 1.3.6.7.2), and the density integrated below.
TEST(StudentT, AgreesWithTheTables) {
  const std::array<std::pair<double, double>, 13> table = {{{1, 12.706},
                                                            {2, 4.303},
                                                            {3, 3.182},
                                                            {4, 2.776},
                                                            {5, 2.571},
                                                            {6, 2.447},
                                                            {8, 2.306},
                                                            {10, 2.228},
                                                            {15, 2.131},
                                                            {20, 2.086},
                                                            {30, 2.042},
                                                            {60, 2.000},
                                                            {1e6, 1.960}}};
  for (const auto& [degrees, t] : table) EXPECT_NEAR(student_t95(degrees), t, 0.005 * t) << degrees;
}

// P(|T| < t) by Simpson's rule over the density G((n+1)/2) / (sqrt(n pi) G(n/2)) (1 + x^2/n)^(-(n+1)/2).
double t_coverage(double n, double t) {
  const double scale = std::exp(std::lgamma((n + 1.0) / 2.0) - std::lgamma(n / 2.0)) / std::sqrt(n * std::acos(-1.0));
  const auto density = [&](double x) { return scale * std::pow(1.0 + x * x / n, -(n + 1.0) / 2.0); };
  constexpr int kSteps = 4000;
  const double h = t / kSteps;
  double sum = density(0.0) + density(t);
  for (int i = 1; i < kSteps; ++i) sum += density(i * h) * (i % 2 == 1 ? 4.0 : 2.0);
  return 2.0 * sum * h / 3.0;
}

TEST(StudentT, CoversNinetyFivePercentOfItsOwnDensity) {
  for (const double degrees : {1.0, 2.0, 3.0, 4.0, 5.0, 7.0, 12.0, 25.0, 80.0})
    EXPECT_NEAR(t_coverage(degrees, student_t95(degrees)), 0.95, 0.001) << degrees;
}

TEST(StudentT, FallsWithEveryDegreeAndTakesTooFewForOne) {
  for (double degrees = 1.0; degrees < 50.0; degrees += 0.25)
    EXPECT_GE(student_t95(degrees), student_t95(degrees + 0.25));
  EXPECT_EQ(student_t95(0.0), student_t95(1.0));
  EXPECT_EQ(student_t95(-3.0), student_t95(1.0));
}

// 95 % points of chi-square: the values of any printed table (from memory), and for even degrees the closed form
// P(X > x) = exp(-x/2) sum (x/2)^i / i!. Wilson and Hilferty's cube root is within 1 % from 2 degrees on.
TEST(ChiSquare, AgreesWithTheTables) {
  const std::array<std::pair<double, double>, 7> table = {
      {{2, 5.991}, {3, 7.815}, {4, 9.488}, {6, 12.592}, {8, 15.507}, {10, 18.307}, {30, 43.773}}};
  for (const auto& [degrees, x] : table) EXPECT_NEAR(chi_square_ratio_95(degrees) * degrees, x, 0.01 * x) << degrees;
}

TEST(ChiSquare, LeavesFivePercentAbove) {
  for (const int degrees : {2, 4, 6, 8, 20}) {
    const double half = chi_square_ratio_95(degrees) * degrees / 2.0;
    double term = std::exp(-half);
    double above = term;
    for (int i = 1; i < degrees / 2; ++i) above += term *= half / i;
    EXPECT_NEAR(above, 0.05, 0.0015) << degrees;
  }
}

TEST(WrapCycles, LeavesHalfACycleAtMost) {
  EXPECT_NEAR(wrap_cycles(3.2), 0.2, 1e-12);
  EXPECT_NEAR(wrap_cycles(-3.2), -0.2, 1e-12);
  EXPECT_NEAR(wrap_cycles(0.6), -0.4, 1e-12);
  EXPECT_NEAR(wrap_cycles(1e6 + 0.25), 0.25, 1e-9);
  EXPECT_LE(std::abs(wrap_cycles(0.5)), 0.5);
  EXPECT_LE(std::abs(wrap_cycles(1.5)), 0.5);
}

TEST(Decibels, TenTimesThePowerIsTenAndTenTimesTheAmplitudeTwenty) {
  EXPECT_NEAR(db_of_power(10.0), 10.0, 1e-12);
  EXPECT_NEAR(db_of_amplitude(10.0), 20.0, 1e-12);
  EXPECT_NEAR(db_of_power(0.5), -3.0103, 1e-4);
}

}  // namespace
}  // namespace four76
