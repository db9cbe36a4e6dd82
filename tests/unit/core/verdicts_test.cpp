// The verdicts' rules on made machines, at and beside their limits; none on thin evidence.
#include "core/flutter/verdicts.hpp"

#include <gtest/gtest.h>

#include <limits>
#include <vector>

#include "tests/unit/core/made_machine.hpp"

namespace four76 {
namespace {

Verdicts verdicts_of(const FlutterEvidence& evidence) { return find_verdicts(evidence, find_causes(evidence)); }

std::vector<Rule> rules_of(MadeMachine& machine) {
  std::vector<Rule> rules;
  for (const Verdict& verdict : verdicts_of(machine.evidence())) rules.push_back(verdict.rule);
  return rules;
}
using Rules = std::vector<Rule>;

TEST(Verdicts, SoundMachinesWantNothing) {
  MadeMachine machine;
  machine.turns(6.06, 0.05);
  const Verdicts verdicts = verdicts_of(machine.evidence());
  ASSERT_EQ(verdicts.size(), 1u);
  EXPECT_EQ(verdicts[0].rule, Rule::nothing_to_do);
  EXPECT_EQ(verdicts[0].meets, Standard::archive_replay);
  EXPECT_FALSE(forbids_trimming(verdicts[0].rule));
}

TEST(Verdicts, TheTrimmerMayBeTurnedWhereAllElseIsWell) {
  MadeMachine machine;
  EXPECT_EQ(rules_of(machine.turns(7.58, 0.1).speed(2.0)), Rules{Rule::may_trim});
  // Between: cannot be told.
  EXPECT_EQ(rules_of(machine.speed(0.49)), Rules{});
  EXPECT_EQ(rules_of(machine.speed(-0.53)), Rules{Rule::may_trim});
  EXPECT_EQ(rules_of(machine.speed(0.47)), Rules{Rule::nothing_to_do});
}

TEST(Verdicts, ASagForbidsTrimming) {
  MadeMachine machine;
  machine.turns(7.58, 0.1).speed(2.0).drift(-0.2, 0.03, 240.0).tolerance(1.0);
  const Verdicts verdicts = verdicts_of(machine.evidence());
  ASSERT_EQ(verdicts.size(), 1u);
  EXPECT_EQ(verdicts[0].rule, Rule::speed_sags);
  EXPECT_NEAR(verdicts[0].move->change_percent, -0.8, 1e-12);
  EXPECT_DOUBLE_EQ(verdicts[0].move->over_s, 240.0);
  EXPECT_EQ(rules_of(machine.drift(0.2, 0.03, 240.0)), Rules{Rule::warming_up});
}

TEST(Verdicts, ASagHasToBeSeenNotForetold) {
  MadeMachine machine;
  machine.turns(7.58, 0.1).speed(2.0);
  // 0.6 % a minute over 10 s moved by 0.1 %: nothing yet, and nothing to trim by either.
  EXPECT_EQ(rules_of(machine.drift(-0.6, 0.1, 10.0)), Rules{});
  EXPECT_EQ(rules_of(machine.drift(-30.0, 0.1, 10.0)), Rules{});
  // Over 30 s it has to be large and sure.
  EXPECT_EQ(rules_of(machine.drift(-0.6, 0.1, 30.0)), Rules{});
  EXPECT_EQ(rules_of(machine.drift(-1.2, 0.1, 30.0)), Rules{Rule::speed_sags});
  EXPECT_EQ(rules_of(machine.drift(-1.2, 0.5, 30.0)), Rules{});
  // Over minutes half the tolerance is enough, but not within its own uncertainty.
  EXPECT_EQ(rules_of(machine.drift(-0.15, 0.02, 120.0)), Rules{Rule::speed_sags});
  EXPECT_EQ(rules_of(machine.drift(-0.15, 0.12, 120.0)), Rules{});
}

TEST(Verdicts, WowThatHidesTheMeanForbidsTrimming) {
  MadeMachine machine;
  machine.turns(0.5, 0.9).speed(2.0, 0.4);
  EXPECT_EQ(rules_of(machine), Rules{Rule::wow_hides_the_mean});
  machine.speed(2.0, 0.2);
  EXPECT_EQ(rules_of(machine), Rules{Rule::may_trim});
}

TEST(Verdicts, WowBeyondTheUsualComesFirst) {
  MadeMachine machine;
  machine.turns(1.25, 0.9).speed(2.0);
  const Verdicts verdicts = verdicts_of(machine.evidence());
  ASSERT_EQ(verdicts.size(), 1u);
  EXPECT_EQ(verdicts[0].rule, Rule::wow_beyond_usual);
  EXPECT_EQ(verdicts[0].first, CauseKind::pinch_roller);
  EXPECT_TRUE(verdicts[0].weighted.has_value());
  EXPECT_DOUBLE_EQ(*verdicts[0].usual_percent, 0.4);
}

TEST(Verdicts, ANamedPartIsLookedAtBeforeTheTrimmerIsTurned) {
  MadeMachine belt, plain;
  const Verdicts named = verdicts_of(belt.known(transport()).turns(1.02 * 2.268, 0.2).speed(2.0).evidence());
  ASSERT_EQ(named.size(), 1u);
  EXPECT_EQ(named[0].rule, Rule::may_trim);
  EXPECT_EQ(named[0].first, CauseKind::belt);
  const Verdicts none = verdicts_of(plain.random(0.05).speed(2.0).evidence());
  ASSERT_EQ(none.size(), 1u);
  EXPECT_EQ(none[0].rule, Rule::may_trim);
  EXPECT_FALSE(none[0].first.has_value());
}

TEST(Verdicts, ADirtyHeadIsCleanedBeforeAnything) {
  MadeMachine machine;
  machine.turns(1.25, 0.9).dropouts(6.0, 18.0).level(9.0).speed(2.0);
  const Verdicts verdicts = verdicts_of(machine.evidence());
  ASSERT_EQ(verdicts.size(), 2u);
  EXPECT_EQ(verdicts[0].rule, Rule::clean_before_measuring);
  EXPECT_DOUBLE_EQ(*verdicts[0].dropouts_per_minute, 6.0);
  EXPECT_DOUBLE_EQ(*verdicts[0].level_rms_percent, 9.0);
}

TEST(Verdicts, NoneOnThinEvidence) {
  const auto spoiled = [](void (*spoil)(FlutterEvidence&)) {
    MadeMachine machine;
    machine.turns(7.58, 0.1).speed(2.0);
    FlutterEvidence& evidence = machine.evidence();
    spoil(evidence);
    return verdicts_of(evidence).size();
  };
  EXPECT_EQ(spoiled([](FlutterEvidence&) {}), 1u);
  EXPECT_EQ(spoiled([](FlutterEvidence& e) { e.reading.status = Status::no_tone; }), 0u);
  EXPECT_EQ(spoiled([](FlutterEvidence& e) { e.reading.status = Status::unreliable; }), 0u);
  EXPECT_EQ(spoiled([](FlutterEvidence& e) { e.reading.trusted_s = 10.0; }), 0u);
  EXPECT_EQ(spoiled([](FlutterEvidence& e) { e.reading.u95_percent = std::nullopt; }), 0u);
  EXPECT_EQ(spoiled([](FlutterEvidence& e) { e.figures.drift = std::nullopt; }), 0u);
  EXPECT_EQ(spoiled([](FlutterEvidence& e) { e.figures.drift->u95_percent_per_minute = 1.0; }), 0u);
  EXPECT_EQ(spoiled([](FlutterEvidence& e) { e.figures.weighted_two_sigma = std::nullopt; }), 0u);
  EXPECT_EQ(spoiled([](FlutterEvidence& e) { e.figures.weighted_two_sigma->u95_percent = 0.5; }), 0u);
  EXPECT_EQ(
      spoiled([](FlutterEvidence& e) { e.reading.speed_error_percent = std::numeric_limits<double>::quiet_NaN(); }),
      0u);
  EXPECT_TRUE(verdicts_of(FlutterEvidence{}).empty());
}

TEST(Verdicts, DropoutsWantHalfAMinute) {
  MadeMachine machine(20.0);
  machine.turns(7.58, 0.1).dropouts(6.0, 18.0);
  for (const Rule rule : rules_of(machine)) EXPECT_NE(rule, Rule::clean_before_measuring);
}

FlutterFigure figure(std::optional<double> percent, std::optional<double> u95_percent) {
  FlutterFigure made;
  made.percent = percent;
  made.u95_percent = u95_percent;
  return made;
}

TEST(Standards, AreMetMissedOrNotToBeTold) {
  // DIN 45500: 0.2 %.
  EXPECT_EQ(judge_weighted(Standard::hifi_minimum, figure(0.15, 0.04)), Judgement::meets);
  EXPECT_EQ(judge_weighted(Standard::hifi_minimum, figure(0.17, 0.04)), Judgement::cannot_be_told);
  EXPECT_EQ(judge_weighted(Standard::hifi_minimum, figure(0.25, 0.04)), Judgement::misses);
  // IASA TC-04 5.4.5: 0.1 %; CSN 36 8430: 0.15 %.
  EXPECT_EQ(judge_weighted(Standard::archive_replay, figure(0.12, 0.01)), Judgement::misses);
  EXPECT_EQ(judge_weighted(Standard::csn_36_8430, figure(0.12, 0.01)), Judgement::meets);
  EXPECT_EQ(strictest_met(figure(0.12, 0.01)), Standard::csn_36_8430);
  EXPECT_EQ(strictest_met(figure(0.6, 0.01)), std::nullopt);
}

TEST(Standards, NoiseThatIsNotKnownCanOnlyHaveMadeItLarger) {
  EXPECT_EQ(judge_weighted(Standard::hifi_minimum, figure(0.15, std::nullopt)), Judgement::meets);
  EXPECT_EQ(judge_weighted(Standard::hifi_minimum, figure(0.5, std::nullopt)), Judgement::cannot_be_told);
}

TEST(Standards, BelowWhatCanBeToldMeetsWhatIsAboveIt) {
  FlutterFigure below;
  below.below_noise = true;
  below.least_percent = 0.12;
  EXPECT_EQ(judge_weighted(Standard::archive_replay, below), Judgement::cannot_be_told);
  EXPECT_EQ(judge_weighted(Standard::csn_36_8430, below), Judgement::meets);
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_EQ(judge_weighted(Standard::hifi_minimum, figure(nan, 0.1)), Judgement::cannot_be_told);
}

TEST(Standards, JudgeTheSpeedBothWays) {
  EXPECT_EQ(judge_speed(Standard::hifi_minimum, -1.4, 0.05), Judgement::meets);
  EXPECT_EQ(judge_speed(Standard::hifi_minimum, -1.6, 0.05), Judgement::misses);
  EXPECT_EQ(judge_speed(Standard::hifi_minimum, 1.5, 0.05), Judgement::cannot_be_told);
  EXPECT_EQ(judge_speed(Standard::archive_replay, 0.2, std::nullopt), Judgement::cannot_be_told);
}

}  // namespace
}  // namespace four76
