// The quasi-peak detector against the standard's pulse table.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "core/flutter/quasi_peak.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

double sine_reading(double rate_hz, double peak, double point_rate_hz, double seconds = 10.0) {
  QuasiPeak detector({point_rate_hz});
  double most = 0.0;
  for (double n = 0.0; n < seconds * point_rate_hz; n += 1.0)
    most = std::max(most, detector.process(peak * std::sin(test::kTwoPi * rate_hz * n / point_rate_hz)));
  return most;
}

struct PulseReading {
  double most = 0.0, least = 1e9;
};
// Pulses one a second, after ten that settle the detector.
PulseReading pulses(double pulse_s, double point_rate_hz) {
  QuasiPeak detector({point_rate_hz});
  PulseReading seen;
  for (double n = 0.0; n < 15.0 * point_rate_hz; n += 1.0) {
    const double t = n / point_rate_hz;
    const double reading = detector.process(t - std::floor(t) < pulse_s - 1e-9 ? 1.0 : 0.0);
    if (t < 10.0) continue;
    seen.most = std::max(seen.most, reading);
    seen.least = std::min(seen.least, reading);
  }
  return seen;
}

class QuasiPeakRates : public testing::TestWithParam<double> {};
INSTANTIATE_TEST_SUITE_P(PointRates, QuasiPeakRates, testing::Values(700.0, 1000.0, 1500.0, 2500.0));

// IEC 60386:1972 (from memory), 60 ms also in the abstract of AES6-2008.
TEST_P(QuasiPeakRates, KeepsToThePulseTable) {
  struct Row {
    double pulse_s, percent, tolerance;
  };
  for (const Row& row : {Row{0.010, 21.0, 3.0}, Row{0.030, 62.0, 6.0}, Row{0.060, 90.0, 6.0}, Row{0.100, 100.0, 4.0}}) {
    const double reading = 100.0 * pulses(row.pulse_s, GetParam()).most / sine_reading(4.0, 1.0, GetParam());
    EXPECT_NEAR(reading, row.percent, row.tolerance) << 1000.0 * row.pulse_s << " ms";
  }
}

// AES6-2008's abstract: 40 %; the limits from memory.
TEST_P(QuasiPeakRates, FallsToFourTenthsBetweenLongPulses) {
  const PulseReading seen = pulses(0.100, GetParam());
  EXPECT_GE(seen.least / seen.most, 0.36);
  EXPECT_LE(seen.least / seen.most, 0.44);
}

TEST_P(QuasiPeakRates, ASlowSineReadsItsPeak) {
  for (const double peak : {0.01, 0.2, 3.0}) EXPECT_NEAR(sine_reading(4.0, peak, GetParam()), peak, 0.001 * peak);
}

TEST(QuasiPeak, IsFullWave) {
  QuasiPeak up({1000.0});
  QuasiPeak down({1000.0});
  for (int n = 0; n < 3000; ++n) {
    const double x = n % 400 < 60 ? 0.3 : -0.02;
    EXPECT_DOUBLE_EQ(up.process(x), down.process(-x));
  }
}

TEST(QuasiPeak, SettlesInItsTime) {
  const double settled = sine_reading(4.0, 1.0, 1000.0, QuasiPeak::kSettlingS);
  EXPECT_NEAR(settled, sine_reading(4.0, 1.0, 1000.0, 10.0), 0.01);
}

TEST(QuasiPeak, ReadsNothingInSilence) {
  QuasiPeak detector({1000.0});
  for (int n = 0; n < 100; ++n) EXPECT_EQ(detector.process(0.0), 0.0);
}

}  // namespace
}  // namespace four76
