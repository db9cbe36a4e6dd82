// What the list of causes says and leaves open; what it makes of thin evidence, and of nonsense.
#include "core/flutter/causes.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <functional>
#include <limits>
#include <set>
#include <string>
#include <vector>

#include "tests/unit/core/made_machine.hpp"

namespace four76 {
namespace {

TEST(Causes, SayHowMuchOfThePowerEachExplains) {
  MadeMachine machine;
  machine.random(0.0).scrape(0.0).turns(7.58, 0.3).turns(1.25, 0.4);  // 0.09 to 0.16
  const Causes causes = find_causes(machine.evidence());
  ASSERT_EQ(causes.list.size(), 2u);
  EXPECT_EQ(causes.list[0].kind, CauseKind::pinch_roller);
  EXPECT_NEAR(*causes.list[0].share_percent, 64.0, 0.1);
  EXPECT_NEAR(*causes.list[1].share_percent, 36.0, 0.1);
}

TEST(Causes, NameWhatElseItMightBe) {
  MadeMachine machine;
  KnownParts known;
  known.roller_diameter_mm = 12.0;  // six times its 1.263 Hz is 7.58 Hz
  machine.known(known).turns(7.58, 0.6);
  const Causes causes = find_causes(machine.evidence());
  const Cause& cause = causes.list[0];
  EXPECT_EQ(cause.kind, CauseKind::capstan);  // the simpler
  EXPECT_NE(cause.sureness, Sureness::likely);
  ASSERT_GE(cause.fits.size(), 2u);
  EXPECT_EQ(cause.fits[1].part, Part::pinch_roller);
  EXPECT_EQ(cause.fits[1].harmonic, 6);
  EXPECT_NEAR(cause.fits[1].implied->value, 12.0, 0.05);
}

TEST(Causes, SayBothWhereBothFit) {
  MadeMachine direct;
  KnownParts known;
  known.capstan_diameter_mm = 2.0;
  known.motor_rpm = 455.0;  // 7.58 Hz
  direct.known(known).turns(7.58, 0.6);
  const Causes both = find_causes(direct.evidence());
  ASSERT_GE(both.list[0].fits.size(), 2u);
  EXPECT_NE(both.list[0].sureness, Sureness::likely);
  const std::set<Part> parts{both.list[0].fits[0].part, both.list[0].fits[1].part};
  EXPECT_EQ(parts, (std::set<Part>{Part::capstan, Part::motor}));

  MadeMachine reel(20.0);
  reel.turns(0.45, 1.5);
  const Causes reels = find_causes(reel.evidence());
  EXPECT_TRUE(reels.list[0].equal);
  EXPECT_TRUE(is_reel(reels.list[0].fits[0].part) && is_reel(reels.list[0].fits[1].part));
}

TEST(Causes, AskForTheTimeThatTellsReelsApart) {
  MadeMachine reel(20.0);
  KnownParts known;
  known.tape_kind = TapeKind::c60;
  reel.known(known).turns(0.7, 1.5);
  const Causes causes = find_causes(reel.evidence());
  ASSERT_TRUE(causes.list[0].needs_span_s.has_value());
  // At 0.7 Hz a C60 moves its reel by 0.00082 Hz a second (derived: 2 pi 18 um 0.7^3 / 47.6 mm/s); that makes a
  // quarter of 2 / T in 24.8 s.
  EXPECT_NEAR(*causes.list[0].needs_span_s, 24.8, 0.5);
}

TEST(Causes, AMoverThatNoTapeWouldMakeIsNoReel) {
  MadeMachine machine;
  machine.turns(0.55, 1.5).moving(-0.2, 0.005);  // of 153 um
  const Causes causes = find_causes(machine.evidence());
  EXPECT_EQ(causes.list[0].kind, CauseKind::unknown_rate);
  EXPECT_EQ(causes.list[0].sureness, Sureness::hint);
}

TEST(Causes, ARateThatStandsStillIsNoReelsWhereAReelWouldMove) {
  MadeMachine moves, stands, brief(10.0);
  const Cause reel = find_causes(moves.turns(0.6, 1.5).moving(-0.03, 0.002).evidence()).list[0];
  EXPECT_EQ(reel.kind, CauseKind::take_up_reel);
  EXPECT_EQ(reel.sureness, Sureness::likely);
  const Cause other = find_causes(stands.turns(0.6, 1.5).evidence()).list[0];
  EXPECT_EQ(other.sureness, Sureness::hint);
  // In 10 s no reel moves visibly.
  const Cause either = find_causes(brief.turns(0.6, 1.5).evidence()).list[0];
  EXPECT_TRUE(either.equal);
  EXPECT_NE(either.sureness, Sureness::hint);
}

TEST(Causes, NameNoPartForARateThatFitsNone) {
  MadeMachine machine;
  machine.known(transport()).turns(23.7, 2.0);
  const Causes causes = find_causes(machine.evidence());
  EXPECT_EQ(causes.list[0].kind, CauseKind::unknown_rate);
}

TEST(Causes, TwoRatesAreNotBothTheCapstan) {
  MadeMachine machine;
  machine.turns(7.58, 0.6).turns(6.4, 0.3);
  const Causes causes = find_causes(machine.evidence());
  EXPECT_EQ(std::count_if(causes.list.begin(), causes.list.end(),
                          [](const Cause& cause) {
                            return cause.kind == CauseKind::capstan && cause.sureness != Sureness::hint;
                          }),
            1);
}

TEST(Causes, NameNothingOnThinEvidence) {
  const auto thin = [](const std::function<void(FlutterEvidence&)>& spoil) {
    MadeMachine machine;
    machine.turns(7.58, 0.7);
    spoil(machine.evidence());
    FlutterEvidence& evidence = machine.evidence();
    spoil(evidence);
    return find_causes(evidence);
  };
  const Causes unread = thin([](FlutterEvidence& e) {
    e.reading.status = Status::unreliable;
    e.reading.reasons.add(Reason::room_noise);
  });
  EXPECT_EQ(unread.thin, Thin::not_measured);
  EXPECT_TRUE(unread.list.empty());
  const Causes silent = thin([](FlutterEvidence& e) { e.reading.status = Status::no_tone; });
  EXPECT_EQ(silent.thin, Thin::not_measured);
  const Causes brief = thin([](FlutterEvidence& e) { e.figures.counted_s = 3.0; });
  EXPECT_EQ(brief.thin, Thin::too_short);
  EXPECT_TRUE(brief.list.empty());
  const Causes coarse = thin([](FlutterEvidence& e) { e.span_s = 3.0; });
  EXPECT_EQ(coarse.thin, Thin::too_short);
  // The machine's own wow keeps the reading from being measured: that is what is looked for.
  const Causes swaying = thin([](FlutterEvidence& e) {
    e.reading.status = Status::unreliable;
    e.reading.reasons.add(Reason::not_steady);
  });
  EXPECT_FALSE(swaying.thin.has_value());
  EXPECT_EQ(swaying.list[0].kind, CauseKind::capstan);
  const Causes covered = thin([](FlutterEvidence& e) {
    e.peaks = {};
    for (auto* figure : {&e.figures.unweighted_rms, &e.figures.weighted_rms, &e.figures.weighted_two_sigma,
                         &e.figures.unweighted_two_sigma}) {
      (*figure)->below_noise = true;
      (*figure)->percent = std::nullopt;
    }
  });
  EXPECT_EQ(covered.thin, Thin::below_noise);
  EXPECT_TRUE(covered.list.empty());
}

TEST(Causes, GiveEachPeakItsCause) {
  MadeMachine machine;
  machine.turns(1.25, 0.7).turns(2.5, 0.3).turns(7.58, 0.2);
  const FlutterEvidence& evidence = machine.evidence();
  const Causes causes = find_causes(evidence);
  EXPECT_EQ(cause_of_peak(causes, 0)->kind, CauseKind::pinch_roller);
  EXPECT_EQ(cause_of_peak(causes, 1), cause_of_peak(causes, 0));
  EXPECT_EQ(cause_of_peak(causes, 2)->kind, CauseKind::capstan);
  EXPECT_EQ(cause_of_peak(causes, 3), nullptr);
}

TEST(Causes, WorkGoesInTheTradesOrder) {
  MadeMachine machine;
  machine.turns(1.25, 0.9).turns(2.6, 0.6).speed(3.0).drift(-0.3, 0.02, 240.0).dropouts(5.0, 15.0);
  const RepairSteps work = work_list(find_causes(machine.evidence()));
  ASSERT_GE(work.size(), 5u);
  const auto place = [&](RepairStep step) { return std::find(work.begin(), work.end(), step) - work.begin(); };
  EXPECT_EQ(work[0], RepairStep::clean_tape_path);
  EXPECT_LT(place(RepairStep::clean_belt_path), place(RepairStep::replace_belt));
  EXPECT_LT(place(RepairStep::replace_belt), place(RepairStep::inspect_roller));
  EXPECT_LT(place(RepairStep::inspect_roller), place(RepairStep::check_motor));
  EXPECT_EQ(work[work.size() - 1], RepairStep::turn_trimmer);
}

// Wow within the usual is no fault of a part; but where the trimmer is to be turned, the part that makes it is seen to
// first, be it a belt that makes nearly all of it or several parts at once.
TEST(Causes, EveryNamedPartComesBeforeTheTrimmer) {
  MadeMachine belt;
  belt.known(transport()).turns(1.02 * 2.268, 0.2).speed(2.0);
  const Causes causes = find_causes(belt.evidence());
  EXPECT_EQ(causes.list[1].kind, CauseKind::belt);
  EXPECT_EQ(causes.list[1].sureness, Sureness::likely);
  EXPECT_FALSE(causes.list[1].fault);
  EXPECT_GT(*causes.list[1].share_percent, 95.0);
  const RepairSteps work = work_list(causes);
  const std::vector<RepairStep> wanted{RepairStep::clean_belt_path, RepairStep::let_it_warm_up,
                                       RepairStep::replace_belt, RepairStep::turn_trimmer};
  EXPECT_EQ(std::vector<RepairStep>(work.begin(), work.end()), wanted);

  MadeMachine all;
  all.known(transport()).speed(-3.0);  // and so is every rate
  for (const double rate_hz : {7.58, 1.263, 2.268, 40.0, 0.689}) all.turns(0.97 * rate_hz, 0.1);
  const Causes parts = find_causes(all.evidence());
  std::set<CauseKind> named;
  const RepairSteps list = work_list(parts);
  for (const Cause& cause : parts.list) {
    if (names_a_part(cause.kind)) named.insert(cause.kind);
    for (const RepairStep step : steps_for(cause.kind))
      EXPECT_EQ(std::count(list.begin(), list.end(), step), names_a_part(cause.kind) || cause.fault ? 1 : 0)
          << name_of(cause.kind) << ' ' << name_of(step);
  }
  EXPECT_GE(named.size(), 4u);
  EXPECT_TRUE(std::is_sorted(list.begin(), list.end()));  // the trade's order
  EXPECT_EQ(list[list.size() - 1], RepairStep::turn_trimmer);
}

TEST(Causes, NoStepFollowsInAnotherStateOfTheMachineThanItSays) {
  for (int i = 0; i <= static_cast<int>(CauseKind::trimmer); ++i)
    for (const RepairStep step : steps_for(static_cast<CauseKind>(i))) {
      const bool plays = step == RepairStep::let_it_warm_up || step == RepairStep::try_other_cassette ||
                         step == RepairStep::check_batteries;
      const bool turns =
          step == RepairStep::check_capstan || step == RepairStep::check_motor || step == RepairStep::turn_trimmer;
      EXPECT_EQ(state_for(step), plays   ? MachineState::closed
                                 : turns ? MachineState::running
                                         : MachineState::without_power)
          << name_of(step);
    }
}

TEST(Causes, StaySaneOnAnything) {
  const double nan = std::numeric_limits<double>::quiet_NaN(), inf = std::numeric_limits<double>::infinity();
  std::vector<FlutterPeak> peaks;
  for (const double rate : {nan, inf, 0.0, -1.0, 1e-300, 0.5, 7.6, 7.6, 249.0, 1e300})
    for (const double height : {nan, inf, 0.0, 0.1, 90.0}) {
      FlutterPeak peak{rate, rate / 1000.0, height, height / 10.0};
      peak.moving = peaks.size() % 2 == 0;
      peak.change_hz_per_minute = peaks.size() % 3 == 0 ? nan : 0.01;
      peaks.push_back(peak);
    }
  for (const double bad : {nan, inf, 0.0, -5.0, 1e300}) {
    MadeMachine machine;
    FlutterEvidence& evidence = machine.turns(7.58, 0.7).evidence();
    evidence.peaks = peaks;
    for (std::size_t spoiled = 0; spoiled < 9; ++spoiled) {
      FlutterEvidence wild = evidence;
      if (spoiled == 0) wild.figures.unweighted_rms->percent = bad;
      if (spoiled == 1) wild.figures.weighted_rms->percent = wild.figures.weighted_two_sigma->percent = bad;
      if (spoiled == 2) wild.figures.drift = Drift{bad, bad};
      if (spoiled == 3) wild.reading.speed_error_percent = wild.reading.u95_percent = bad;
      if (spoiled == 4) wild.tolerance_percent = wild.usual_weighted_percent = bad;
      if (spoiled == 5) wild.figures.scrape_rms->percent = wild.level_rms_percent = wild.dropouts_per_minute = bad;
      if (spoiled == 6) wild.span_s = bad;
      if (spoiled == 7) wild.resolution_hz = bad;
      if (spoiled == 8) wild.known.capstan_diameter_mm = wild.known.tape_speed_cm_s = bad;
      for (const Cause& cause : find_causes(wild).list) {
        EXPECT_TRUE(!cause.share_percent || (*cause.share_percent >= 0.0 && *cause.share_percent <= 100.0));
        EXPECT_TRUE(!cause.rate_hz || (*cause.rate_hz > 0.0 && *cause.rate_hz <= 250.0));
        EXPECT_TRUE(!cause.figure || std::isfinite(*cause.figure));
        EXPECT_TRUE(cause.rank >= 0.0 && cause.rank <= 100.0) << spoiled << ' ' << bad;
        for (const PartFit& fit : cause.fits) EXPECT_TRUE(fit.probability > 0.0 && fit.probability <= 1.0);
      }
    }
  }
  EXPECT_EQ(find_causes(FlutterEvidence{}).thin, Thin::not_measured);
}

TEST(Causes, HaveNamesOfTheirOwn) {
  std::set<std::string_view> kinds, steps;
  for (int i = 0; i <= static_cast<int>(CauseKind::trimmer); ++i) kinds.insert(name_of(static_cast<CauseKind>(i)));
  EXPECT_EQ(kinds.size(), static_cast<std::size_t>(CauseKind::trimmer) + 1);
  for (std::size_t i = 0; i < kRepairStepCount; ++i) steps.insert(name_of(static_cast<RepairStep>(i)));
  EXPECT_EQ(steps.size(), kRepairStepCount);
}

}  // namespace
}  // namespace four76
