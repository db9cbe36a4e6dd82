#include "core/tone/fade_turns.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <vector>

#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

constexpr double kKnotS = 0.01;
constexpr double kUsual = 0.1;

// Plays knots of `amplitude(t)` and `cycles(t)`; a knot below half the usual amplitude is faded. Gives the sum of
// turns.
template <typename Amplitude, typename Cycles>
double turns(double seconds, Amplitude&& amplitude, Cycles&& cycles) {
  FadeTurns fades;
  double sum = 0.0;
  for (int i = 0; i < static_cast<int>(seconds / kKnotS); ++i) {
    const double t = i * kKnotS;
    PhaseKnot knot{.time_s = t, .span_s = kKnotS, .phase_cycles = cycles(t)};
    knot.amplitude = static_cast<float>(amplitude(t));
    sum += fades.add(knot, amplitude(t) < 0.5 * kUsual);
  }
  return sum;
}

double tone(double t) { return 3000.0 * t; }
// A dropout of 60 ms every second.
double dropouts(double t) { return std::fmod(t, 1.0) > 0.5 && std::fmod(t, 1.0) < 0.56 ? 0.01 : kUsual; }

TEST(FadeTurns, AreNoneInDropoutsOfASteadyTone) { EXPECT_LT(turns(10.0, dropouts, tone), 1e-6); }

TEST(FadeTurns, AreSmallInDropoutsOfAWowingTone) {
  // 0.1 % at 7.6 Hz: the speed bends within the dropout.
  const auto wow = [](double t) { return tone(t) - 3.0 / (test::kTwoPi * 7.6) * std::cos(test::kTwoPi * 7.6 * t); };
  EXPECT_LT(turns(10.0, dropouts, wow), 10 * 0.26);  // 3 Hz times 70 ms, and no null among them
}

// Direct sound and one echo of nearly its level: where they cancel, the phase turns by half a cycle within some 30 ms.
TEST(FadeTurns, CountHalfACycleForEachNullOfARoom) {
  const auto sum = [](double t) { return 1.0 + 0.97 * std::polar(1.0, test::kTwoPi * 2.0 * t); };  // two nulls a second
  const auto level = [&](double t) { return kUsual * std::abs(sum(t)); };
  double last = 0.0;
  double unwrapped = 0.0;
  const auto cycles = [&](double t) {
    const double here = std::arg(sum(t)) / test::kTwoPi;
    unwrapped += std::remainder(here - last, 1.0);
    last = here;
    return tone(t) + unwrapped;
  };
  // The fades of this room are long and deep: a quarter of a second, all of them counted once the sway is known.
  const double found = turns(10.0, level, cycles);
  EXPECT_GT(found, 15 * 0.5);
  EXPECT_LE(found, 20 * 0.5);
}

TEST(FadeTurns, AreNotCarriedFromOneSegmentToTheNext) {
  FadeTurns fades;
  double sum = 0.0;
  for (int i = 0; i < 60; ++i) {
    PhaseKnot knot{.time_s = i * kKnotS, .span_s = kKnotS, .phase_cycles = tone(i * kKnotS) + (i < 30 ? 0.0 : 0.4)};
    knot.amplitude = 0.1F;
    knot.segment = i < 30 ? 1 : 2;
    sum += fades.add(knot, i >= 27 && i < 33);
  }
  EXPECT_EQ(sum, 0.0);
}

}  // namespace
}  // namespace four76
