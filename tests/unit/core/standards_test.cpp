// The limits of the named judgements, by figures just inside and just outside. The limits are typed here anew from
// their sources: IASA TC-04, 5.4.5 (archive replay: weighted 0.1 %, speed 0.3 %); CSN 36 8430:1984 (0.15 %, 2 %);
// DIN 45500 (hi-fi minimum: 0.2 %, 1.5 %). From quotations of these texts, not from the texts.
#include "core/flutter/standards.hpp"

#include <gtest/gtest.h>

#include <array>
#include <limits>

namespace four76 {
namespace {

struct Limit {
  Standard standard;
  double weighted_percent, speed_percent;
};
constexpr std::array<Limit, 3> kLimits{{
    {Standard::archive_replay, 0.1, 0.3},
    {Standard::csn_36_8430, 0.15, 2.0},
    {Standard::hifi_minimum, 0.2, 1.5},
}};

FlutterFigure figure(double percent, double u95_percent) {
  return {.percent = percent, .as_read_percent = percent, .u95_percent = u95_percent};
}

class StandardLimit : public testing::TestWithParam<Limit> {};
INSTANTIATE_TEST_SUITE_P(Published, StandardLimit, testing::ValuesIn(kLimits));

TEST_P(StandardLimit, WeightedFiguresBesideItAreJudged) {
  const auto [standard, limit, speed] = GetParam();
  constexpr double kU95 = 0.002;
  EXPECT_EQ(judge_weighted(standard, figure(limit - kU95 - 0.0001, kU95)), Judgement::meets);
  EXPECT_EQ(judge_weighted(standard, figure(limit - kU95 + 0.0001, kU95)), Judgement::cannot_be_told);
  EXPECT_EQ(judge_weighted(standard, figure(limit + kU95 - 0.0001, kU95)), Judgement::cannot_be_told);
  EXPECT_EQ(judge_weighted(standard, figure(limit + kU95 + 0.0001, kU95)), Judgement::misses);
}

TEST_P(StandardLimit, SpeedsBesideItAreJudgedFastAndSlow) {
  const auto [standard, weighted, limit] = GetParam();
  constexpr double kU95 = 0.01;
  for (const double sign : {1.0, -1.0}) {
    EXPECT_EQ(judge_speed(standard, sign * (limit - kU95 - 0.0001), kU95), Judgement::meets);
    EXPECT_EQ(judge_speed(standard, sign * (limit - kU95 + 0.0001), kU95), Judgement::cannot_be_told);
    EXPECT_EQ(judge_speed(standard, sign * (limit + kU95 - 0.0001), kU95), Judgement::cannot_be_told);
    EXPECT_EQ(judge_speed(standard, sign * (limit + kU95 + 0.0001), kU95), Judgement::misses);
  }
}

// Hidden by noise: met where even the least that could have been told is within.
TEST_P(StandardLimit, AFigureBelowTheNoiseMeetsWhatTheNoiseLeavesRoomFor) {
  const auto [standard, limit, speed] = GetParam();
  const auto hidden = [](double least) { return FlutterFigure{.least_percent = least, .below_noise = true}; };
  EXPECT_EQ(judge_weighted(standard, hidden(limit - 0.0001)), Judgement::meets);
  EXPECT_EQ(judge_weighted(standard, hidden(limit + 0.0001)), Judgement::cannot_be_told);
}

TEST_P(StandardLimit, WhatIsNotKnownCannotBeTold) {
  const auto [standard, weighted, speed] = GetParam();
  EXPECT_EQ(judge_speed(standard, 0.0, std::nullopt), Judgement::cannot_be_told);
  EXPECT_EQ(judge_speed(standard, std::numeric_limits<double>::quiet_NaN(), 0.01), Judgement::cannot_be_told);
  EXPECT_EQ(judge_weighted(standard, FlutterFigure{}), Judgement::cannot_be_told);
}

TEST(Standards, TheStrictestThatIsMetChangesAtEachLimit) {
  constexpr double kU95 = 0.001;
  const auto met = [](double percent) { return strictest_met(figure(percent, kU95)); };
  EXPECT_EQ(met(0.1 - 0.0011), Standard::archive_replay);
  EXPECT_EQ(met(0.1 - 0.0009), Standard::csn_36_8430);
  EXPECT_EQ(met(0.15 - 0.0011), Standard::csn_36_8430);
  EXPECT_EQ(met(0.15 - 0.0009), Standard::hifi_minimum);
  EXPECT_EQ(met(0.2 - 0.0011), Standard::hifi_minimum);
  EXPECT_EQ(met(0.2 - 0.0009), Standard::portable_usual);
}

}  // namespace
}  // namespace four76
