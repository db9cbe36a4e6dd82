#include "core/tone/step_detector.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "tests/unit/core/knot_signals.hpp"

namespace four76 {
namespace {

using test::knot_noise_cycles;
using test::knots_of;
using test::portable;

struct Checked {
  std::vector<PhaseKnot> knots;
  int steps = 0;
};
Checked check(const std::vector<PhaseKnot>& knots) {
  StepDetector detector;
  detector.reset();
  Checked out;
  for (const auto& knot : knots) {
    if (const auto given = detector.add(knot)) out.knots.push_back(*given);
    out.steps += detector.stepped() ? 1 : 0;
  }
  const auto held = detector.held_back();
  out.knots.insert(out.knots.end(), held.begin(), held.end());
  return out;
}

double slow_wow(double t) {
  return 3010.0 * t + 3000.0 * 0.0015 / (test::kTwoPi * 0.6) * std::sin(test::kTwoPi * 0.6 * t);
}

TEST(StepDetector, GivesBackEveryKnotInOrderAndUnchanged) {
  const auto knots = knots_of(portable, 3.0, 0.0, 1);
  const auto out = check(knots);
  ASSERT_EQ(out.knots.size(), knots.size());
  for (std::size_t i = 0; i < knots.size(); ++i) {
    EXPECT_EQ(out.knots[i].time_s, knots[i].time_s);
    EXPECT_TRUE(out.knots[i].valid);
    EXPECT_EQ(out.knots[i].segment, 0u);
  }
}

// Deleted samples: the phase jumps by tone times lost time, a part of a cycle. 441 samples lost at 48 kHz leave 0.56
// cycles of 3000 Hz; what is left after whole cycles may be anything from -0.5 to 0.5.
template <typename Cycles>
void expect_step_found(Cycles&& machine, double step, double dbhz) {
  const auto cycles = [&](double t) { return machine(t) + (t > 1.5 ? step : 0.0); };
  const auto out = check(knots_of(cycles, 3.0, knot_noise_cycles(dbhz), 2));
  EXPECT_EQ(out.steps, 1) << step << " at " << dbhz;
  int misplaced = 0;  // the change of segment is at the step, within its void knots
  for (const auto& knot : out.knots) {
    const bool near = std::abs(knot.time_s - 1.5) < 0.035;
    const std::uint32_t wanted = knot.time_s > 1.5 ? 1u : 0u;
    if (knot.valid ? knot.segment != wanted : !near) ++misplaced;
  }
  EXPECT_EQ(misplaced, 0) << step << " at " << dbhz;
}

TEST(StepDetector, FindsAStepOfThePhaseAndBeginsANewSegment) {
  for (const double step : {0.2, -0.33, 0.45})
    for (const double dbhz : {50.0, 70.0}) expect_step_found(slow_wow, step, dbhz);
  expect_step_found(slow_wow, 0.1, 70.0);
}

// A capstan's wow bends the phase within the detector's nine knots: smaller steps hide in it, and in the u95.
TEST(StepDetector, FindsALargeStepInAPortablesWow) {
  for (const double step : {-0.33, 0.45})
    for (const double dbhz : {50.0, 70.0}) expect_step_found(portable, step, dbhz);
}

// A turned trimmer: the speed steps, the phase goes on.
TEST(StepDetector, DoesNotTakeAStepOfTheSpeedForOne) {
  for (const double percent : {0.05, 0.3, 1.0, 3.0, -3.0})
    for (const double lag_s : {0.0, 0.08}) {
      const auto cycles = [&](double t) {
        const double s = std::max(0.0, t - 1.503);
        const double moved = lag_s > 0.0 ? s - lag_s * (1.0 - std::exp(-s / lag_s)) : s;
        return portable(t) + 30.0 * percent * moved;
      };
      EXPECT_EQ(check(knots_of(cycles, 3.0, knot_noise_cycles(60.0), 3)).steps, 0) << percent << " lag " << lag_s;
    }
}

TEST(StepDetector, FindsNoneInWowAndNoise) {
  for (const double dbhz : {35.0, 45.0, 60.0, 80.0})
    EXPECT_EQ(check(knots_of(portable, 60.0, knot_noise_cycles(dbhz), 4)).steps, 0) << dbhz;
}

}  // namespace
}  // namespace four76
