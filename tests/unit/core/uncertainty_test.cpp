#include "core/signal/uncertainty.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <numbers>

namespace four76 {
namespace {

using std::numbers::pi;

// T = 1 s: 1.23 mHz at 50 dB-Hz, 0.39 mHz at 60, 0.123 mHz at 70 (sources.md#the-cramer-rao-bound).
TEST(CramerRao, GivesTheFiguresOfRifeAndBoorstyn) {
  EXPECT_NEAR(cramer_rao_sigma_hz(1e5, 1.0), 1.23e-3, 0.005e-3);
  EXPECT_NEAR(cramer_rao_sigma_hz(1e6, 1.0), 0.39e-3, 0.001e-3);
  EXPECT_NEAR(cramer_rao_sigma_hz(1e7, 1.0), 0.123e-3, 0.0005e-3);
}

TEST(CramerRao, FallsWithThePowerOneAndAHalfOfTheWindow) {
  EXPECT_NEAR(cramer_rao_sigma_hz(1e6, 1.0) / cramer_rao_sigma_hz(1e6, 4.0), 8.0, 1e-12);
}

// The same figure from the definition: the inverse of the Fisher information of (amplitude, phase, frequency) of
// A cos(2 pi f t + p) in white noise, summed sample by sample at 8 kHz.
TEST(CramerRao, AgreesWithTheFisherInformationSummedUp) {
  constexpr double kRate = 8000.0;
  constexpr double kSeconds = 0.5;
  constexpr double kTone = 1234.5;
  const double variance = 0.5 / 1e6 * kRate / 2.0;  // C/N0 = 60 dB-Hz for an amplitude of 1
  double pp = 0.0;
  double pf = 0.0;
  double ff = 0.0;
  for (int n = 0; n < static_cast<int>(kRate * kSeconds); ++n) {
    const double t = n / kRate;
    const double s = std::sin(2.0 * pi * kTone * t);
    pp += s * s;
    pf += s * s * 2.0 * pi * t;
    ff += s * s * 4.0 * pi * pi * t * t;
  }
  const double sigma = std::sqrt(variance * pp / (pp * ff - pf * pf));
  EXPECT_NEAR(cramer_rao_sigma_hz(1e6, kSeconds) / sigma, 1.0, 1e-3);
}

// Straight from what it means: the slope that a least-squares line finds in the phase of a sinusoidal deviation.
double slope_left(double rate_hz, double window_s, double angle) {
  constexpr int kPoints = 20000;
  double tt = 0.0;
  double tp = 0.0;
  for (int i = 0; i < kPoints; ++i) {
    const double t = (i + 0.5) / kPoints * window_s - window_s / 2.0;
    const double phase = std::sin(2.0 * pi * rate_hz * t + angle) / (2.0 * pi * rate_hz);
    tt += t * t;
    tp += t * phase;
  }
  return tp / tt;
}

TEST(PhaseFitLeakage, IsWhatALineThroughThePhaseLeavesOfASinusoid) {
  for (const double turns : {0.01, 0.1, 0.5, 1.0, 1.43, 2.0, 3.7, 10.2})
    EXPECT_NEAR(phase_fit_leakage(turns / 2.0, 2.0), std::abs(slope_left(turns / 2.0, 2.0, 0.0)), 1e-4) << turns;
}

TEST(PhaseFitLeakage, IsWholeAtNoRateAndSmoothWhereItsSeriesEnds) {
  EXPECT_EQ(phase_fit_leakage(0.0, 1.0), 1.0);
  EXPECT_NEAR(phase_fit_leakage(0.04999 / pi, 1.0), phase_fit_leakage(0.05001 / pi, 1.0), 1e-5);
  EXPECT_NEAR(phase_fit_leakage(-3.0, 1.0), phase_fit_leakage(3.0, 1.0), 1e-15);
}

// Derived in the header: the squared weight over time of a phase fit integrates to 1.2 / T.
TEST(PhaseFitWindow, WeighsLowRatesByOnePointTwo) {
  constexpr int kPoints = 100000;
  double sum = 0.0;
  for (int i = 0; i < kPoints; ++i) {
    const double u = (i + 0.5) / kPoints;
    sum += std::pow(6.0 * u * (1.0 - u), 2.0) / kPoints;
  }
  EXPECT_NEAR(kPhaseFitWindowFactor, sum, 1e-6);
}

}  // namespace
}  // namespace four76
