#include "core/tone/live_dial.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

MeanSpeed fit_of(double frequency_hz, double noise_u95_hz = 0.01) {
  MeanSpeed fit;
  fit.frequency_hz = frequency_hz;
  fit.noise_u95_hz = noise_u95_hz;
  return fit;
}

// Before three seconds have been heard, wow that was not seen yet cannot be excluded: 0.2 % (header: CSN, DIN).
TEST(LiveDial, AssumesAPortablesWowUntilItHasHeardThreeSeconds) {
  LiveDial dial;
  dial.reset();
  EXPECT_NEAR(dial.u95_hz(fit_of(3000.0), 3000.0), 6.0, 0.2);
  double before = 1e9;
  for (int i = 1; i < 60; ++i) {
    const double now = dial.u95_hz(fit_of(3000.0), 3000.0);
    EXPECT_LT(now, before);
    before = now;
  }
  EXPECT_NEAR(before, 0.01, 1e-6);
}

// Two sigma of the dial's own readings: the single reading lies within it of the mean in 95 of 100 cases.
TEST(LiveDial, CoversTheMeanSpeedUnderTheWowItSees) {
  LiveDial dial;
  dial.reset();
  int held = 0;
  constexpr int kReadings = 1200;
  for (int i = 0; i < kReadings; ++i) {
    const double t = i / 20.0;
    const double f = 3000.0 + 3.0 * std::sin(test::kTwoPi * 0.52 * t) + 2.0 * std::sin(test::kTwoPi * 1.26 * t);
    const double u95_hz = dial.u95_hz(fit_of(f), 3000.0);
    held += std::abs(f - 3000.0) <= u95_hz ? 1 : 0;
    // Two sigma of the two sines are 2 sqrt((9 + 4) / 2) Hz (derived); a few turns alone may look half as wide again.
    if (i > kReadings / 10) {
      EXPECT_LT(u95_hz, 1.5 * 5.1) << t;
    }
  }
  EXPECT_GE(held, kReadings * 93 / 100);
}

TEST(LiveDial, ForgetsTheOldSpeedAfterATurnOfTheScrew) {
  LiveDial dial;
  dial.reset();
  for (int i = 0; i < 60; ++i) static_cast<void>(dial.u95_hz(fit_of(3000.0), 3000.0));
  for (int i = 0; i < 20; ++i) static_cast<void>(dial.u95_hz(fit_of(3030.0), 3000.0));
  // Not half of the 30 Hz between the two speeds, but at most the portable's wow again.
  EXPECT_LT(dial.u95_hz(fit_of(3030.0), 3000.0), 6.1);
}

TEST(LiveDial, NeverClaimsLessThanTheNoiseAndStartsAfreshAtReset) {
  LiveDial dial;
  dial.reset();
  for (int i = 0; i < 100; ++i) EXPECT_GE(dial.u95_hz(fit_of(3000.0, 0.5), 3000.0), 0.5);
  dial.reset();
  EXPECT_GT(dial.u95_hz(fit_of(3000.0, 0.5), 3000.0), 5.0);
}

}  // namespace
}  // namespace four76
