// The bands of wow and flutter against the standard's table. Gains are measured by feeding sines and reading the
// output, so that what the blocks say of themselves is tested too.
#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <vector>

#include "core/flutter/deviation_filter.hpp"
#include "core/flutter/weighting.hpp"
#include "tests/unit/core/flutter_signals.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

using Band = FlutterBand;

double db(double gain) { return 20.0 * std::log10(gain); }

// The peak that a deviation of 1 % peak at that rate leaves: by correlation over whole turns after the transients.
// What goes in is the mean of the sine over each point, as the difference of two phases is.
double measured_gain(Band band, double rate_hz, double point_rate_hz) {
  DeviationFilter filter({point_rate_hz, band});
  filter.settle(0.0);
  const double settle_s = rate_hz < 1.0 ? 30.0 : 12.0;
  const double turns = std::max(2.0, std::ceil(4.0 * rate_hz));
  const auto first = static_cast<std::size_t>(settle_s * point_rate_hz);
  const auto count = static_cast<std::size_t>(std::llround(turns / rate_hz * point_rate_hz));
  // A rate that makes the turns whole within the points.
  const double exact_hz = turns * point_rate_hz / static_cast<double>(count);
  std::complex<double> sum = 0.0;
  for (std::size_t n = 0; n < first + count; ++n) {
    const double y = filter.process(test::differenced_sine(exact_hz, point_rate_hz, n));
    if (n >= first) sum += y * std::polar(1.0, -test::kTwoPi * exact_hz * static_cast<double>(n) / point_rate_hz);
  }
  return 2.0 * std::abs(sum) / static_cast<double>(count);
}

TEST(Weighting, FitsTheStandardsTable) {
  for (const auto& [hz, expected_db] : test::kWeightingTable)
    EXPECT_NEAR(db(weighting_gain(hz)), expected_db, 0.2) << hz;
}

TEST(Weighting, IsZeroDecibelsAtFourHertz) {
  EXPECT_DOUBLE_EQ(weighting_gain(4.0), 1.0);
  double gain = 1.0;
  for (const Biquad& section : weighting_sections(1000.0)) gain *= std::abs(section.response(0.004));
  EXPECT_NEAR(gain, 1.0, 1e-12);
}

class DeviationFilterRates : public testing::TestWithParam<double> {};
INSTANTIATE_TEST_SUITE_P(PointRates, DeviationFilterRates, testing::Values(700.0, 918.75, 1002.27, 1500.0, 2500.0));

// IEC 60386:1972, weighting curve (table from memory). Aim: 0.3 dB at every rate of it.
TEST_P(DeviationFilterRates, WeighsWithinThreeTenthsOfADecibelOfTheTable) {
  for (const auto& [hz, expected_db] : test::kWeightingTable)
    EXPECT_NEAR(db(measured_gain(Band::weighted, hz, GetParam())), expected_db, 0.3) << hz << " Hz";
}

// AES6-2008: unweighted flat at least from 0.1 to 200 Hz.
TEST_P(DeviationFilterRates, UnweightedIsFlatFromATenthToTwoHundredHertz) {
  EXPECT_NEAR(db(measured_gain(Band::unweighted, 0.1, GetParam())), -0.064, 0.01);
  for (const double hz : {0.2, 0.5, 1.0, 4.0, 10.0, 31.5, 63.0, 100.0, 150.0, 190.0, 200.0})
    EXPECT_NEAR(db(measured_gain(Band::unweighted, hz, GetParam())), 0.0, 0.02) << hz << " Hz";
}

// AES6-2008: cut at 200 Hz, weighted as well.
TEST_P(DeviationFilterRates, NothingPassesBeyondTheCut) {
  for (const double hz : {225.0, 240.0, 300.0, 340.0}) {
    EXPECT_LT(db(measured_gain(Band::unweighted, hz, GetParam())), -60.0) << hz << " Hz";
    EXPECT_LT(db(measured_gain(Band::weighted, hz, GetParam())), -60.0) << hz << " Hz";
  }
}

// Derived: Butterworth of the fourth order, |H|^2 = 1 / (1 + (f / 10)^8) and the rest.
TEST_P(DeviationFilterRates, PartsWowFromFlutterAtTenHertz) {
  for (const double hz : {0.5, 4.0, 7.6, 10.0, 12.0, 20.0, 63.0}) {
    const double wow = measured_gain(Band::wow, hz, GetParam());
    const double flutter = measured_gain(Band::flutter, hz, GetParam());
    EXPECT_NEAR(wow * wow, 1.0 / (1.0 + std::pow(hz / 10.0, 8.0)), 0.006) << hz << " Hz";
    EXPECT_NEAR(wow * wow + flutter * flutter, 1.0, 0.005) << hz << " Hz";
  }
}

TEST_P(DeviationFilterRates, TellsItsOwnGain) {
  for (const Band band : {Band::weighted, Band::unweighted, Band::wow, Band::flutter})
    for (const double hz : {1.0, 4.0, 15.0, 100.0, 212.0}) {
      const DeviationFilter filter({GetParam(), band});
      EXPECT_NEAR(filter.gain(hz), measured_gain(band, hz, GetParam()), 1e-3) << hz << " Hz";
    }
}

// The noise of a demodulated tone grows with its rate: 2.67e6 Hz^3 up to a sharp 200 Hz, 3.27e4 Hz^3 weighted
// (sources.md#noise-of-a-demodulated-tone). A cut that is not sharp takes in more: here half of the way to 225 Hz, at
// most 22 %.
TEST_P(DeviationFilterRates, KnowsHowMuchNoiseItLetsThrough) {
  const double unweighted = DeviationFilter({GetParam(), Band::unweighted}).noise_integral_hz3();
  const double weighted = DeviationFilter({GetParam(), Band::weighted}).noise_integral_hz3();
  EXPECT_GT(unweighted, 2.67e6);
  EXPECT_LT(unweighted, 2.67e6 * 1.22);
  EXPECT_GT(weighted, 3.27e4 * 0.98);
  EXPECT_LT(weighted, 3.27e4 * 1.12);
}

// White phase noise through the filter: its power is what the integral says, its scatter what the bandwidth says.
TEST(DeviationFilter, ReadsNoiseAsItsIntegralSays) {
  const double rate = 1000.0;
  for (const Band band : {Band::weighted, Band::unweighted, Band::wow, Band::flutter}) {
    DeviationFilter filter({rate, band});
    test::Noise noise(31);
    const double sigma_cycles = 1e-4;
    double before = 0.0;
    std::vector<double> powers;
    const std::size_t block = 2000;
    for (int k = -4; k < 150; ++k) {
      double sum = 0.0;
      for (std::size_t n = 0; n < block; ++n) {
        const double phase = sigma_cycles * noise();
        const double y = filter.process((phase - before) * rate);
        before = phase;
        sum += y * y;
      }
      if (k >= 0) powers.push_back(sum / block);
    }
    double mean = 0.0;
    for (const double p : powers) mean += p / static_cast<double>(powers.size());
    double variance = 0.0;
    for (const double p : powers) variance += std::pow(p / mean - 1.0, 2.0) / static_cast<double>(powers.size());
    // One-sided density of the phase in cycles^2 / Hz, times (2 pi f)^2 / (2 pi)^2 = f^2 for cycles in radians.
    const double density_rad2 = 2.0 * std::pow(test::kTwoPi * sigma_cycles, 2.0) / rate;
    EXPECT_NEAR(mean / (density_rad2 * filter.noise_integral_hz3()), 1.0, band == Band::wow ? 0.06 : 0.02);
    EXPECT_NEAR(variance * filter.noise_bandwidth_hz() * block / rate, 1.0, 0.35);
  }
}

TEST(DeviationFilter, SettlesToAMeanWithoutAStep) {
  for (const Band band : {Band::weighted, Band::unweighted, Band::wow, Band::flutter}) {
    DeviationFilter filter({1000.0, band});
    filter.settle(3.7);
    double largest = 0.0;
    for (int n = 0; n < 5000; ++n) largest = std::max(largest, std::abs(filter.process(3.7)));
    EXPECT_LT(largest, 1e-7);
  }
}

// What is left of a dropout's pulse after the time that the block says.
TEST_P(DeviationFilterRates, SettlesWithinItsTime) {
  for (const Band band : {Band::weighted, Band::unweighted, Band::wow, Band::flutter}) {
    DeviationFilter filter({GetParam(), band});
    EXPECT_LT(filter.settling_s(), band == Band::weighted ? 1.1 : 0.5);
    double largest = 0.0;
    double later = 0.0;
    for (std::size_t n = 0; n < static_cast<std::size_t>(6.0 * GetParam()); ++n) {
      const double t = static_cast<double>(n) / GetParam();
      const double y = std::abs(filter.process(t < 0.05 ? 1.0 : 0.0));
      (t > filter.settling_s() ? later : largest) = std::max(t > filter.settling_s() ? later : largest, y);
    }
    EXPECT_LE(later, 0.031 * largest);
  }
}

}  // namespace
}  // namespace four76
