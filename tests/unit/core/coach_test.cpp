#include "core/bench/coach.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <optional>

#include "core/records/coach_text.hpp"
#include "tests/unit/core/session_runs.hpp"

namespace four76 {
namespace {

using test::kTwoPi;
using Course = std::function<double(double t)>;

// A dial of 20 readings a second, with noise of its own.
class Bench {
 public:
  explicit Bench(Coach::Config config = {}, double sigma_percent = 0.01) : coach(config), sigma_(sigma_percent) {}
  void play(double seconds, const Course& percent) {
    const double until_s = time_s_ + seconds - 0.025;
    while (time_s_ < until_s) {
      time_s_ += 0.05;
      Reading reading;
      reading.time_s = time_s_;
      reading.status = Status::measured;
      reading.speed_error_percent = percent(time_s_) + sigma_ * noise_();
      reading.noise_u95_percent = 0.004;
      reading.u95_percent = 0.1;
      coach.add(reading);
    }
  }
  void stay(double seconds, double percent) {
    play(seconds, [=](double) { return percent; });
  }
  // A hand takes a second over it.
  void turn(double from, double to, double seconds = 1.0) {
    const double begin_s = time_s_;
    play(seconds, [=](double t) { return from + (to - from) * (t - begin_s) / seconds; });
  }
  void silence(double seconds) {
    const double until_s = time_s_ + seconds;
    for (; time_s_ < until_s; time_s_ += 0.05) {
      Reading reading;
      reading.time_s = time_s_;
      coach.add(reading);
    }
  }
  Coach coach;

 private:
  double sigma_, time_s_ = 0.0;
  test::Noise noise_{7};
};

TEST(Coach, SaysHowMuchMoreAndTheSameWay) {
  Bench bench;
  EXPECT_EQ(bench.coach.advice().kind, AdviceKind::no_reading);
  bench.stay(2.0, -1.2);
  EXPECT_EQ(bench.coach.advice().kind, AdviceKind::wait);
  bench.stay(4.0, -1.2);
  EXPECT_EQ(bench.coach.advice().kind, AdviceKind::try_a_little);
  bench.turn(-1.2, -0.8);
  EXPECT_EQ(bench.coach.advice().kind, AdviceKind::moving);
  bench.stay(3.0, -0.8);
  const Advice advice = bench.coach.advice();
  EXPECT_EQ(advice.kind, AdviceKind::more);
  EXPECT_FALSE(advice.other_way);
  EXPECT_NEAR(advice.last_change_percent.value_or(0.0), 0.4, 0.02);
  EXPECT_NEAR(advice.times_the_last.value_or(0.0), 2.0, 0.1);
  const CoachWords words = coach_text(advice);
  EXPECT_EQ(words.large, "About twice as much, the same way");
  EXPECT_NE(words.detail.find("That turn gave +0.40 %. It runs 0.80 % slow."), std::string::npos) << words.detail;
}

TEST(Coach, TellsTheWrongWayAndHowFarBack) {
  Bench bench;
  bench.stay(6.0, 0.15 + 0.6);
  bench.turn(0.75, 1.06);
  bench.stay(3.0, 1.06);
  const Advice advice = bench.coach.advice();
  EXPECT_EQ(advice.kind, AdviceKind::wrong_way);
  EXPECT_TRUE(advice.other_way);
  EXPECT_NEAR(advice.times_the_last.value_or(0.0), 1.06 / 0.31, 0.3);
}

TEST(Coach, TellsWhatWentTooFar) {
  Bench bench;
  bench.stay(6.0, -1.0);
  bench.turn(-1.0, 1.0);
  bench.stay(3.0, 1.0);
  const Advice advice = bench.coach.advice();
  EXPECT_EQ(advice.kind, AdviceKind::back);
  EXPECT_NEAR(advice.times_the_last.value_or(0.0), 0.5, 0.02);
  EXPECT_EQ(coach_text(advice).large, "About half as much, the other way");
  EXPECT_NE(coach_text(advice).detail.find("too far"), std::string::npos);
}

TEST(Coach, StopsWithinTheToleranceOnceThatIsSure) {
  Bench bench;
  bench.stay(6.0, 0.9);
  bench.turn(0.9, 0.3);
  bench.stay(3.0, 0.3);
  EXPECT_EQ(bench.coach.advice().kind, AdviceKind::stop);
  EXPECT_NE(coach_text(bench.coach.advice()).detail.find("Steady beats perfect"), std::string::npos);
  // A stricter tolerance asks for more.
  bench.coach.set_tolerance(0.1);
  EXPECT_EQ(bench.coach.advice().kind, AdviceKind::more);
}

TEST(Coach, AimsWhereTheTapeIsRight) {
  Coach::Config config;
  config.tolerance_percent = 0.1;
  config.aim_percent = 0.3;
  Bench bench(config);
  bench.stay(6.0, 0.3);
  EXPECT_EQ(bench.coach.advice().kind, AdviceKind::stop);
}

TEST(Coach, RemembersWhichWayIsFaster) {
  Bench bench;
  bench.stay(6.0, -1.0);
  EXPECT_EQ(bench.coach.advice().way, TurnWay::unsaid);
  bench.turn(-1.0, -1.5);
  bench.coach.mark(TurnWay::clockwise, 0.25);
  bench.stay(4.0, -1.5);
  EXPECT_EQ(bench.coach.clockwise_is_faster(), std::optional(false));
  EXPECT_NEAR(bench.coach.percent_per_turn().value_or(0.0), 2.0, 0.1);
  const Advice advice = bench.coach.advice();
  EXPECT_EQ(advice.way, TurnWay::counter_clockwise);
  EXPECT_NEAR(advice.turns.value_or(0.0), 0.75, 0.05);
}

TEST(Coach, TakesAMarkThatComesAfterTheSpeedHasSettled) {
  Bench bench;
  bench.stay(6.0, 1.0);
  bench.turn(1.0, 2.0, 0.4);
  bench.stay(3.5, 2.0);
  bench.coach.mark(TurnWay::clockwise);
  bench.stay(5.0, 2.0);
  EXPECT_EQ(bench.coach.clockwise_is_faster(), std::optional(true));
  EXPECT_EQ(bench.coach.advice().turns_without_effect, 0);
}

// A hand that holds a screwdriver comes to the phone late, and taps twice.
TEST(Coach, ALateMarkBelongsToTheTurnThatWasSeen) {
  Bench bench;
  bench.stay(6.0, 1.8);
  bench.turn(1.8, 1.39);
  bench.stay(8.0, 1.39);
  bench.coach.mark(TurnWay::counter_clockwise);
  bench.stay(0.5, 1.39);
  bench.coach.mark(TurnWay::counter_clockwise);
  bench.stay(5.0, 1.39);
  const Advice advice = bench.coach.advice();
  EXPECT_EQ(advice.kind, AdviceKind::more);
  EXPECT_EQ(advice.turns_without_effect, 0);
  EXPECT_EQ(advice.way, TurnWay::counter_clockwise);
  EXPECT_NEAR(advice.last_change_percent.value_or(0.0), -0.41, 0.02);
}

TEST(Coach, AMarkThatIsPutRightAtOnceIsTheSameTurn) {
  Bench bench;
  bench.stay(6.0, -1.0);
  bench.turn(-1.0, -0.6);
  bench.stay(2.0, -0.6);
  bench.coach.mark(TurnWay::clockwise);
  bench.stay(1.0, -0.6);
  bench.coach.mark(TurnWay::counter_clockwise);
  EXPECT_EQ(bench.coach.clockwise_is_faster(), std::optional(false));
  bench.stay(5.0, -0.6);
  EXPECT_EQ(bench.coach.advice().turns_without_effect, 0);
}

TEST(Coach, AScrewThatHasWorkedIsNotCalledTheWrongOne) {
  Bench bench;
  bench.stay(6.0, -1.0);
  bench.turn(-1.0, -0.8);
  bench.coach.mark(TurnWay::clockwise);
  bench.stay(8.0, -0.8);
  for (int i = 0; i < 2; ++i) {
    bench.coach.mark(TurnWay::clockwise);
    bench.stay(5.0, -0.8);
    EXPECT_EQ(coach_text(bench.coach.advice()).large, "Nothing changed yet");
  }
  // What is seen counts, said or not.
  bench.turn(-0.8, -0.7);
  bench.stay(3.0, -0.7);
  EXPECT_EQ(bench.coach.advice().kind, AdviceKind::more);
}

TEST(Coach, UsesTheWayOnTheCard) {
  Coach::Config config;
  config.clockwise_is_faster = true;
  Bench bench(config);
  bench.stay(6.0, -1.0);
  EXPECT_EQ(bench.coach.advice().way, TurnWay::clockwise);
  EXPECT_EQ(coach_text(bench.coach.advice()).large, "Turn a little clockwise");
}

TEST(Coach, NoticesAScrewThatDoesNothing) {
  Bench bench;
  bench.stay(6.0, -1.0);
  bench.coach.mark(TurnWay::clockwise);
  bench.stay(2.0, -1.0);
  EXPECT_EQ(bench.coach.advice().kind, AdviceKind::try_a_little);
  bench.stay(2.0, -1.0);
  EXPECT_EQ(bench.coach.advice().kind, AdviceKind::does_nothing);
  bench.coach.mark(TurnWay::counter_clockwise);
  bench.stay(4.0, -1.0);
  EXPECT_EQ(bench.coach.advice().turns_without_effect, 2);
  EXPECT_EQ(coach_text(bench.coach.advice()).large, "That screw does nothing");
  // The right one at last.
  bench.turn(-1.0, -0.6);
  bench.coach.mark(TurnWay::clockwise);
  bench.stay(3.0, -0.6);
  EXPECT_EQ(bench.coach.advice().kind, AdviceKind::more);
}

TEST(Coach, NoticesAJumpThatDoesNotStay) {
  Bench bench;
  bench.stay(6.0, -1.0);
  bench.turn(-1.0, -0.4, 0.2);
  bench.stay(0.5, -0.4);
  bench.turn(-0.4, -1.0, 0.2);
  bench.stay(3.0, -1.0);
  const Advice advice = bench.coach.advice();
  EXPECT_EQ(advice.kind, AdviceKind::did_not_stay);
  EXPECT_NEAR(advice.last_change_percent.value_or(0.0), 0.6, 0.06);
}

TEST(Coach, NoticesWhatMovesByItselfOnceTurnsAreMarked) {
  Bench bench;
  bench.stay(6.0, -3.0);
  for (const double from : {-3.0, -2.6}) {
    bench.turn(from, from + 0.4);
    bench.coach.mark(TurnWay::clockwise);
    bench.stay(4.0, from + 0.4);
  }
  EXPECT_EQ(bench.coach.advice().kind, AdviceKind::more);
  bench.stay(4.0, -2.2);
  bench.turn(-2.2, -2.9, 0.1);
  bench.stay(3.0, -2.9);
  EXPECT_EQ(bench.coach.advice().kind, AdviceKind::did_not_stay);
}

TEST(Coach, CountsASlowTurnOnce) {
  Bench bench;
  bench.stay(6.0, -2.0);
  bench.turn(-2.0, -1.0, 6.0);
  bench.stay(4.0, -1.0);
  ASSERT_EQ(bench.coach.turns().size(), 1u);
  EXPECT_NEAR(bench.coach.turns()[0].change_percent(), 1.0, 0.03);
}

// Each part of a turn that goes on within 1.5 s has its own mark, given on the way or after it.
TEST(Coach, AMarkFindsTheTurnThatGoesOn) {
  for (const bool afterwards : {false, true}) {
    Bench bench;
    bench.stay(6.0, -2.0);
    bench.turn(-2.0, -1.6);
    bench.coach.mark(TurnWay::clockwise, 0.25);
    bench.stay(1.6, -1.6);
    bench.turn(-1.6, -1.4);
    if (!afterwards) bench.coach.mark(TurnWay::clockwise, 0.125);
    bench.stay(1.6, -1.4);
    if (afterwards) bench.coach.mark(TurnWay::clockwise, 0.125);
    bench.stay(4.0, -1.4);
    ASSERT_EQ(bench.coach.turns().size(), 1u) << afterwards;
    EXPECT_EQ(bench.coach.advice().kind, AdviceKind::more) << afterwards;
    EXPECT_EQ(bench.coach.advice().turns_without_effect, 0) << afterwards;
    EXPECT_NEAR(bench.coach.percent_per_turn().value_or(0.0), 1.6, 0.1) << afterwards;
  }
}

TEST(Coach, TakesNeitherWowNorDriftForATurn) {
  for (const double rate_hz : {0.3, 0.52, 1.0, 1.26, 2.9})
    for (const double peak : {0.05, 0.2, 0.4}) {
      Bench bench;
      bench.play(60.0, [=](double t) { return 1.5 + peak * std::sin(kTwoPi * rate_hz * t) + 0.3 * t / 60.0; });
      EXPECT_TRUE(bench.coach.turns().empty()) << rate_hz << " Hz, " << peak << " %";
    }
  for (std::uint64_t seed = 0; seed < 8; ++seed) {
    test::Noise random(seed);
    double slow = 0.0;
    Bench bench;
    bench.play(60.0, [&](double) { return -1.0 + (slow = 0.9 * slow + 0.03 * random()); });
    EXPECT_TRUE(bench.coach.turns().empty()) << seed;
  }
}

TEST(Coach, SeesTurnsThroughWow) {
  Bench bench;
  const auto wow = [](double t) { return 0.1 * std::sin(kTwoPi * 0.52 * t) + 0.05 * std::sin(kTwoPi * 1.3 * t); };
  bench.play(12.0, [&](double t) { return -1.5 + wow(t); });
  bench.play(10.0, [&](double t) { return -0.9 + wow(t); });
  const Advice advice = bench.coach.advice();
  EXPECT_EQ(advice.kind, AdviceKind::more);
  EXPECT_NEAR(advice.last_change_percent.value_or(0.0), 0.6, 0.06);
  EXPECT_NEAR(advice.times_the_last.value_or(0.0), 1.5, 0.2);
}

TEST(Coach, SaysWhenTheWowHidesTheTurns) {
  Coach::Config config;
  config.tolerance_percent = 0.2;
  Bench bench(config);
  bench.play(20.0, [](double t) { return 0.4 + 1.0 * std::sin(kTwoPi * 0.6 * t); });
  EXPECT_EQ(bench.coach.advice().kind, AdviceKind::too_unsteady);
}

TEST(Coach, SaysNothingOfWhatHappenedInAGap) {
  Bench bench;
  bench.stay(6.0, -1.0);
  bench.silence(3.0);
  EXPECT_EQ(bench.coach.advice().kind, AdviceKind::no_reading);
  bench.stay(6.0, -0.7);
  EXPECT_TRUE(bench.coach.turns().empty());
  EXPECT_EQ(bench.coach.advice().kind, AdviceKind::try_a_little);
  // A short one, as a hand over the microphone makes, does no harm.
  bench.silence(1.0);
  bench.turn(-0.7, -0.2);
  bench.stay(3.0, -0.2);
  EXPECT_EQ(bench.coach.turns().size(), 1u);
}

// The machine may have been stopped in it, and another tape be playing.
TEST(Coach, AGapLeavesTheTurnBeforeItAsItWas) {
  Bench bench;
  bench.stay(6.0, -1.0);
  bench.turn(-1.0, -0.6);
  bench.stay(2.0, -0.6);
  ASSERT_EQ(bench.coach.turns().size(), 1u);
  bench.silence(2.5);
  bench.stay(8.0, -0.2);
  ASSERT_EQ(bench.coach.turns().size(), 1u);
  EXPECT_NEAR(bench.coach.turns()[0].change_percent(), 0.4, 0.03);
}

TEST(Coach, KeepsTheNewestTurnsOnly) {
  Bench bench;
  bench.stay(6.0, 0.0);
  for (int i = 0; i < 20; ++i) {
    bench.turn(0.3 * i, 0.3 * (i + 1), 0.5);
    bench.stay(4.0, 0.3 * (i + 1));
  }
  EXPECT_EQ(bench.coach.turns().size(), Coach::kMostTurns);
  EXPECT_NEAR(bench.coach.turns().back().to.percent, 6.0, 0.05);
}

// With the dial itself, on a machine that wows: a trimmer turned at 12 s and again at 20 s.
TEST(Coach, FollowsTheDialOfAWowingMachine) {
  constexpr double kRate_hz = 16000.0;
  const Course set = [](double t) { return t < 12.0 ? -1.2 : t < 20.0 ? -0.7 : 0.05; };
  std::vector<float> x(test::frames_in(27.0, kRate_hz));
  double cycles = 0.0;
  for (std::size_t n = 0; n < x.size(); ++n) {
    const double t = static_cast<double>(n) / kRate_hz;
    const double wow = 0.1 * std::sin(kTwoPi * 7.6 * t) + 0.12 * std::sin(kTwoPi * 1.26 * t);
    cycles += 3000.0 * (1.0 + (set(t) + wow) / 100.0) / kRate_hz;
    x[n] = 0.1F * static_cast<float>(std::sin(kTwoPi * (cycles - std::floor(cycles))));
  }
  test::add_noise_dbhz(x, 0.1, 60.0, kRate_hz, 5);
  ToneSession session(test::listening(kRate_hz));
  Coach coach({});
  std::optional<Advice> at_18;
  test::each_dial(session, x, [&](const Reading& dial) {
    coach.add(dial);
    if (!at_18 && dial.time_s > 18.0) at_18 = coach.advice();
  });
  ASSERT_TRUE(at_18);
  EXPECT_EQ(at_18->kind, AdviceKind::more);
  EXPECT_NEAR(at_18->last_change_percent.value_or(0.0), 0.5, 0.05);
  EXPECT_NEAR(at_18->times_the_last.value_or(0.0), 1.4, 0.2);
  EXPECT_EQ(coach.turns().size(), 2u);
  EXPECT_EQ(coach.advice().kind, AdviceKind::stop);
}

}  // namespace
}  // namespace four76
