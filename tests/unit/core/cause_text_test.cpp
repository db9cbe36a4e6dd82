// What is said of causes and verdicts: that the figures stand in it, rounded well, and that nothing says more than is
// known.
#include "core/records/cause_text.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <limits>
#include <set>

#include "core/records/figure_text.hpp"
#include "core/records/safety_text.hpp"
#include "core/records/verdict_text.hpp"
#include "tests/unit/core/made_machine.hpp"

namespace four76 {
namespace {

bool holds(std::string_view text, std::string_view part) { return text.find(part) != std::string_view::npos; }

TEST(FigureText, KeepsTheDigitsThatCount) {
  EXPECT_EQ(rounded(7.58, 2), "7.6");
  EXPECT_EQ(rounded(0.0623, 2), "0.062");
  EXPECT_EQ(rounded(2400.0, 2), "2400");
  EXPECT_EQ(rounded(-1.25, 1), "-1");
  EXPECT_EQ(rounded(0.0, 2), "0");
  EXPECT_EQ(rounded(std::numeric_limits<double>::quiet_NaN(), 2), "0");
  EXPECT_EQ(duration_text(30.0), "30 seconds");
  EXPECT_EQ(duration_text(240.0), "4 minutes");
  EXPECT_EQ(duration_text(150.0), "2.5 minutes");
  EXPECT_EQ(duration_text(600.0), "10 minutes");
}

TEST(CauseText, SaysRatesPartAndShare) {
  MadeMachine machine;
  KnownParts known;
  known.capstan_diameter_mm = 2.0;
  machine.known(known).random(0.0).scrape(0.0).speed(0.0).turns(7.58, 0.7).turns(15.16, 0.2).turns(1.25, 0.55);
  const Causes causes = find_causes(machine.evidence());
  ASSERT_EQ(causes.list.size(), 2u);
  EXPECT_EQ(cause_title(causes.list[0]), "Capstan or its flywheel");
  // (0.49 + 0.04) of (0.49 + 0.04 + 0.3025)
  EXPECT_EQ(cause_evidence(causes.list[0]),
            "7.58 Hz and its double: what a capstan of 2.0 mm would make; 64 % of the wow and flutter.");
  EXPECT_EQ(words_of(causes.list[0].sureness), "likely");
}

TEST(CauseText, NamesTheOthers) {
  MadeMachine machine;
  KnownParts known;
  known.roller_diameter_mm = 12.0;
  machine.known(known).speed(0.0).turns(7.58, 0.6);
  const Causes causes = find_causes(machine.evidence());
  EXPECT_TRUE(holds(cause_evidence(causes.list[0]), "a pinch roller of 12 mm, 6 times a turn"))
      << cause_evidence(causes.list[0]);
}

TEST(CauseText, SaysThatAReelMovesAndWhichWay) {
  MadeMachine machine;
  machine.turns(0.55, 1.5).moving(-0.0235, 0.002);
  const Causes causes = find_causes(machine.evidence());
  EXPECT_EQ(cause_title(causes.list[0]), "Take-up reel");
  EXPECT_TRUE(holds(cause_evidence(causes.list[0]), "falling as the tape plays"));
  EXPECT_TRUE(holds(cause_evidence(causes.list[0]), "a take-up reel with a pack of 28 mm"));
}

TEST(CauseText, SaysBothReelsWhereBothFit) {
  MadeMachine machine(20.0);
  machine.turns(0.45, 1.5);
  const Causes causes = find_causes(machine.evidence());
  EXPECT_EQ(cause_title(causes.list[0]), "Supply or take-up reel");
  EXPECT_TRUE(holds(cause_evidence(causes.list[0]), "to tell these apart"));
}

TEST(CauseText, SaysInWhichStateOfTheMachineEachStepIsDone) {
  MadeMachine machine;
  machine.turns(1.25, 0.9).speed(3.0);
  const Causes causes = find_causes(machine.evidence());
  const auto line = [](RepairStep step) {
    return std::string(words_of(state_for(step))).append(": ").append(step_text(step));
  };
  const auto steps = cause_steps(causes.list[0]);
  ASSERT_GE(steps.size(), 2u);
  EXPECT_EQ(steps[0], line(RepairStep::clean_tape_path));
  EXPECT_TRUE(steps[0].starts_with("Plug and batteries out: Clean ")) << steps[0];
  const auto all = work_steps(causes);
  EXPECT_NE(std::find(all.begin(), all.end(), line(RepairStep::let_it_warm_up)), all.end());
  EXPECT_TRUE(line(RepairStep::let_it_warm_up).starts_with("Cover on: "));
  EXPECT_EQ(all.back(), line(RepairStep::turn_trimmer));
  EXPECT_TRUE(all.back().starts_with("Running (if open, on batteries alone): ")) << all.back();
  MadeMachine sound;
  EXPECT_TRUE(work_steps(find_causes(sound.turns(7.58, 0.1).evidence())).empty());
}

TEST(SafetyText, NamesMainsCapacitorsPlugManualCodesAndWhoIsLicensed) {
  for (const char* part : {"Mains", "capacitors", "Unplug", "service manual", "local electrical codes", "licensed"})
    EXPECT_TRUE(holds(std::string(safety_text()), part)) << part;
}

TEST(SafetyText, IsAskedForWhereverSomebodyIsSentToTheMachine) {
  const auto asked = [](MadeMachine& machine) {
    const FlutterEvidence& evidence = machine.evidence();
    const Causes causes = find_causes(evidence);
    return sends_to_the_machine(causes, find_verdicts(evidence, causes));
  };
  MadeMachine off, roller, dirty, sags, sound, cold;
  EXPECT_TRUE(asked(off.random(0.05).speed(3.0)));
  EXPECT_TRUE(asked(roller.turns(1.25, 0.9)));
  EXPECT_TRUE(asked(dirty.turns(7.58, 0.1).dropouts(6.0, 18.0)));
  EXPECT_TRUE(asked(sags.turns(7.58, 0.1).drift(-0.2, 0.03, 240.0)));
  EXPECT_FALSE(asked(sound.turns(7.58, 0.1)));
  EXPECT_TRUE(asked(cold.turns(7.58, 0.1).drift(0.2, 0.03, 240.0)));  // its bearings may want oil
  EXPECT_TRUE(sends_to_the_machine(Reason::mains_hum));
  EXPECT_TRUE(sends_to_the_machine(Reason::tape_dropout));
  EXPECT_FALSE(sends_to_the_machine(Reason::too_quiet));
}

TEST(CauseText, SaysSomethingOfEveryKind) {
  std::set<std::string> titles;
  for (int i = 0; i <= static_cast<int>(CauseKind::trimmer); ++i) {
    Cause cause;
    cause.kind = static_cast<CauseKind>(i);
    cause.rate_hz = 3.0;
    cause.figure = -0.5;
    cause.peaks.add({0, 3.0, 0.2, 1});
    cause.fits.add({Part::belt, 1, 0.9, Knowledge::usual, std::nullopt});
    titles.insert(cause_title(cause));
    const std::string evidence = cause_evidence(cause);
    EXPECT_TRUE(evidence.ends_with(".")) << evidence;
  }
  EXPECT_EQ(titles.size(), static_cast<std::size_t>(CauseKind::trimmer) + 1);
  std::set<std::string_view> steps;
  for (std::size_t i = 0; i < kRepairStepCount; ++i) {
    const std::string_view text = step_text(static_cast<RepairStep>(i));
    EXPECT_TRUE(text.ends_with(".") && text.size() < 120) << text;
    steps.insert(text);
  }
  EXPECT_EQ(steps.size(), kRepairStepCount);
}

TEST(CauseText, SaysWhatARateWouldBe) {
  EXPECT_EQ(implied_text(Part::capstan, 7.58, {}), "a capstan of 2.0 mm");
  EXPECT_EQ(implied_text(Part::motor, 40.0, {}), "a motor at 2400 turns a minute");
  EXPECT_EQ(implied_text(Part::belt, 2.5, {}), std::nullopt);
  EXPECT_EQ(implied_text(Part::capstan, 0.0, {}), std::nullopt);
}

std::string first_verdict(MadeMachine& machine) {
  const FlutterEvidence& evidence = machine.evidence();
  const Verdicts verdicts = find_verdicts(evidence, find_causes(evidence));
  return verdicts.empty() ? "" : verdict_text(verdicts[0]);
}

TEST(VerdictText, SaysWhatARepairerWouldSign) {
  MadeMachine sag;
  sag.turns(7.58, 0.1).drift(-0.2, 0.03, 240.0).tolerance(1.0);
  EXPECT_EQ(first_verdict(sag),
            "Do not trim yet: the speed sank by 0.80 % in 4 minutes: belt, motor or batteries first.");
  MadeMachine roller;
  roller.random(0.0).scrape(0.0).turns(1.25, 1.0);
  EXPECT_TRUE(holds(first_verdict(roller), "more than the usual 0.4 %: clean, then look at the pinch roller."))
      << first_verdict(roller);
  MadeMachine trim;
  EXPECT_EQ(first_verdict(trim.turns(6.06, 0.2).speed(-2.0)),
            "The trimmer may be turned: 2.0 % slow and steady, wow and flutter within the hi-fi minimum (DIN 45500). "
            "Before that, clean, then look at the capstan.");
  MadeMachine sound;
  EXPECT_TRUE(holds(first_verdict(sound.turns(6.06, 0.05)), "Nothing to be done: 0.10 % fast, within 0.5 %"));
  MadeMachine dirty;
  EXPECT_EQ(first_verdict(dirty.turns(7.58, 0.1).dropouts(6.0, 18.0)),
            "Clean head and tape path before you measure: the tone falls away 6.0 times a minute, by up to 18 dB.");
}

TEST(VerdictText, GivesTheRuleWithItsFigures) {
  MadeMachine sag;
  const FlutterEvidence& evidence = sag.turns(7.58, 0.1).drift(-0.2, 0.03, 240.0).tolerance(1.0).evidence();
  const Verdicts verdicts = find_verdicts(evidence, find_causes(evidence));
  EXPECT_EQ(verdict_rule_text(verdicts[0]), "Moved by 0.80 % \u00b1 0.12 % in 4 minutes; the tolerance is 1 %.");
  for (int i = 0; i <= static_cast<int>(Rule::nothing_to_do); ++i) {
    Verdict bare;
    bare.rule = static_cast<Rule>(i);
    EXPECT_TRUE(verdict_text(bare).ends_with("."));
    EXPECT_TRUE(verdict_rule_text(bare).ends_with("."));
  }
}

TEST(VerdictText, NamesTheStandards) {
  EXPECT_EQ(judgement_text(Standard::hifi_minimum, Judgement::meets),
            "meets the hi-fi minimum (DIN 45500): 0.2 % weighted");
  EXPECT_EQ(judgement_text(Standard::csn_36_8430, Judgement::misses), "misses CSN 36 8430: 0.15 % weighted");
}

// Two significant digits of what is rounded up: 0.0996 is told as 0.10.
TEST(FigureText, TellsAHalfWidthWithTwoDigits) {
  EXPECT_EQ(two_digit_decimals(0.42, 3), 2);
  EXPECT_EQ(two_digit_decimals(0.031, 3), 3);
  EXPECT_EQ(two_digit_decimals(0.0996, 3), 2);
  EXPECT_EQ(two_digit_decimals(0.0012, 3), 3);
  EXPECT_EQ(two_digit_decimals(4.2, 3), 1);
  EXPECT_EQ(two_digit_decimals(120.0, 3), 0);
  EXPECT_EQ(two_digit_decimals(0.0, 3), 3);
}

}  // namespace
}  // namespace four76
