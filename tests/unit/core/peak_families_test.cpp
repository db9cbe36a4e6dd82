// Families of made peaks: a rate with its multiples is one, what only happens to lie there is not.
#include "core/flutter/peak_families.hpp"

#include <gtest/gtest.h>

#include <limits>
#include <vector>

#include "tests/unit/core/made_machine.hpp"

namespace four76 {
namespace {

PeakFamilies families_of(MadeMachine& machine, std::vector<RateRange> entered = {}) {
  const FlutterEvidence& evidence = machine.evidence();
  return find_families(evidence.peaks, {evidence.span_s, evidence.resolution_hz, entered});
}

TEST(PeakFamilies, GatherARateAndItsMultiples) {
  MadeMachine machine;
  machine.turns(1.25, 0.3).turns(2.501, 0.2).turns(3.749, 0.1).turns(7.6, 0.05);
  const PeakFamilies families = families_of(machine);
  ASSERT_EQ(families.size(), 2u);
  EXPECT_DOUBLE_EQ(families[0].rate_hz, 1.25);
  ASSERT_EQ(families[0].members.size(), 3u);
  EXPECT_EQ(families[0].members[1].harmonic, 2);
  EXPECT_EQ(families[0].members[2].harmonic, 3);
  EXPECT_DOUBLE_EQ(families[1].rate_hz, 7.6);
}

TEST(PeakFamilies, TakeAStrongSecondForTheFirstsOwn) {
  MadeMachine machine;
  machine.turns(2.2, 0.1).turns(4.4, 0.4);
  EXPECT_EQ(families_of(machine).size(), 1u);
}

TEST(PeakFamilies, LeaveAStrongHighMultipleAlone) {
  MadeMachine machine;
  machine.turns(1.2667, 0.1).turns(7.6, 0.3);  // six times it, three times as strong
  EXPECT_EQ(families_of(machine).size(), 2u);
  // Weak, but alone: a roller of 12 mm and a capstan of 2 mm are both usual, and turn as 1 to 6 (derived).
  MadeMachine weak;
  weak.turns(1.2667, 0.3).turns(7.6, 0.05);
  EXPECT_EQ(families_of(weak).size(), 2u);
  MadeMachine row;
  row.turns(1.2667, 0.3).turns(2.5333, 0.15).turns(7.6, 0.05);
  EXPECT_EQ(families_of(row).size(), 1u);
}

TEST(PeakFamilies, KeepApartWhatTheResolutionTellsApart) {
  MadeMachine machine;  // 2.56 is 0.06 Hz beyond twice 1.25; the resolution is 0.033 Hz
  machine.turns(1.25, 0.3).turns(2.56, 0.2);
  EXPECT_EQ(families_of(machine).size(), 2u);
}

TEST(PeakFamilies, JoinNothingWhereAnythingWouldFit) {
  MadeMachine machine(5.0);  // resolution 0.4 Hz: twice 0.7 Hz is anything from 1.36 to 1.44 Hz, and unsteady more
  machine.turns(0.7, 0.3).unsteady().turns(1.5, 0.2);
  EXPECT_EQ(families_of(machine).size(), 2u);
}

TEST(PeakFamilies, LeaveAnEnteredPartItsOwnRate) {
  MadeMachine machine;
  machine.turns(3.8, 0.1).turns(7.6, 0.3);
  EXPECT_EQ(families_of(machine).size(), 1u);
  EXPECT_EQ(families_of(machine, {{7.4, 7.8, Knowledge::entered}}).size(), 2u);
}

TEST(PeakFamilies, MultiplesOfAMoverMoveAsManyTimesAsFast) {
  MadeMachine machine;
  machine.turns(0.6, 0.5).moving(-0.03, 0.003).turns(1.2, 0.2).moving(-0.06, 0.006);
  EXPECT_EQ(families_of(machine).size(), 1u);
  MadeMachine roller;
  roller.turns(0.6, 0.5).moving(-0.03, 0.003).turns(1.2, 0.2);  // stands still: not the reel's
  EXPECT_EQ(families_of(roller).size(), 2u);
}

TEST(PeakFamilies, FindAnEnteredRateThatDoesNotStandOut) {
  MadeMachine machine;
  machine.turns(4.8, 0.4).turns(7.2, 0.2);
  EXPECT_EQ(families_of(machine).size(), 2u);
  const PeakFamilies families = families_of(machine, {{2.3, 2.5, Knowledge::entered}});
  ASSERT_EQ(families.size(), 1u);
  EXPECT_DOUBLE_EQ(families[0].rate_hz, 2.4);
}

TEST(PeakFamilies, LeaveOutWhatNothingCanBeBuiltOn) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const FlutterPeak sound{7.6, 0.001, 0.1, 0.004};
  EXPECT_TRUE(is_usable(sound, 60.0));
  for (double FlutterPeak::*field :
       {&FlutterPeak::rate_hz, &FlutterPeak::rate_u95_hz, &FlutterPeak::peak_percent, &FlutterPeak::peak_u95_percent})
    for (const double bad : {nan, -1.0, std::numeric_limits<double>::infinity(), 1e300}) {
      FlutterPeak peak = sound;
      peak.*field = bad;
      EXPECT_FALSE(is_usable(peak, 60.0)) << bad;
    }
  EXPECT_FALSE(is_usable({7.6, 0.001, 0.1, 0.08}, 60.0));  // hardly out of its own uncertainty
  EXPECT_FALSE(is_usable({0.3, 0.001, 0.1, 0.004}, 8.0));  // two turns and a half at the least
  EXPECT_FALSE(is_usable(sound, nan));
}

}  // namespace
}  // namespace four76
