// The figures of wow and flutter on deviations of known size: closed formulas, voids and drift. Noise is in
// flutter_noise_test.cpp, random wow against an independent computation in flutter_oracle_test.cpp.
#include "core/flutter/flutter_figures.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <limits>
#include <vector>

#include "tests/unit/core/flutter_signals.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

using test::kSineTwoSigma;
using test::points_of;
using test::sine;

constexpr double kRateHz = 1000.0;

// Samples of the deviation, not differences of phases.
FlutterFigures sampled(double rate_hz = kRateHz) {
  return FlutterFigures({.point_rate_hz = rate_hz, .nominal_hz = 3150.0, .differenced = false});
}

double percent(const std::optional<FlutterFigure>& figure) { return figure.value().percent.value(); }

// Within 1 % of the reading, or 0.001 % (what is promised).
void expect_figure(const std::optional<FlutterFigure>& figure, double expected, const char* name) {
  ASSERT_TRUE(figure && figure->percent) << name;
  EXPECT_NEAR(*figure->percent, expected, std::max(0.01 * expected, 0.001)) << name;
}

TEST(FlutterFigures, ReadsAFourHertzSineByEveryFigure) {
  for (const double rate_hz : {700.0, 1002.27, 2500.0})
    for (const double peak : {0.01, 0.1, 1.0, 3.0}) {
      auto figures = sampled(rate_hz);
      figures.process(points_of(sine(4.0, peak, 1.7), 30.0, rate_hz));
      for (const FlutterReading& read : {figures.live({}), figures.whole({})}) {
        const double rms = peak / std::sqrt(2.0);
        expect_figure(read.weighted_two_sigma, kSineTwoSigma * peak, "weighted 2 sigma");
        expect_figure(read.unweighted_two_sigma, kSineTwoSigma * peak, "unweighted 2 sigma");
        expect_figure(read.wow_two_sigma, kSineTwoSigma * peak, "wow 2 sigma");
        expect_figure(read.weighted_quasi_peak, peak, "quasi-peak");
        expect_figure(read.weighted_rms, rms, "weighted RMS");
        expect_figure(read.unweighted_rms, rms, "unweighted RMS");
        expect_figure(read.wow_rms, rms, "wow RMS");
        expect_figure(read.flutter_rms, rms * std::pow(0.4, 4.0) / std::sqrt(1.0 + std::pow(0.4, 8.0)), "flutter RMS");
      }
    }
}

TEST(FlutterFigures, ReadsSinesOfAnyRateUnweighted) {
  for (const double hz : {0.3, 0.5, 1.2, 2.7, 7.6, 25.0, 63.0, 120.0, 190.0}) {
    auto figures = sampled();
    figures.process(points_of(sine(hz, 0.2, -0.6), 60.0));
    const auto read = figures.whole({});
    expect_figure(read.unweighted_rms, 0.2 / std::sqrt(2.0), "unweighted RMS");
    expect_figure(read.unweighted_two_sigma, 0.2 * kSineTwoSigma, "unweighted 2 sigma");
    const double wow = 1.0 / std::sqrt(1.0 + std::pow(hz / 10.0, 8.0));
    expect_figure(read.wow_rms, 0.2 * wow / std::sqrt(2.0), "wow RMS");
    expect_figure(read.flutter_rms, 0.2 * std::sqrt(1.0 - wow * wow) / std::sqrt(2.0), "flutter RMS");
  }
}

// Scrape flutter: above 100 Hz (common practice). A fourth-order Butterworth filter's own formula, through the bilinear
// transform's bend of the rates.
TEST(FlutterFigures, ReadsScrapeAloneAboveAHundredHertz) {
  for (const double rate_hz : {700.0, 1000.0, 1300.0})
    for (const double hz : {7.6, 40.0, 80.0, 100.0, 130.0, 160.0, 195.0}) {
      auto figures = sampled(rate_hz);
      figures.process(points_of(sine(hz, 0.2, -0.6), 30.0, rate_hz));
      const double bent = std::tan(0.5 * test::kTwoPi * 100.0 / rate_hz) / std::tan(0.5 * test::kTwoPi * hz / rate_hz);
      const double gain = 1.0 / std::sqrt(1.0 + std::pow(bent, 8.0));
      expect_figure(figures.live({}).scrape_rms, gain * 0.2 / std::sqrt(2.0), "scrape");
      expect_figure(figures.whole({}).scrape_rms, gain * 0.2 / std::sqrt(2.0), "scrape of the whole");
    }
}

// IEC 60386's table (from memory), by the figures themselves: within 0.3 dB, 3.5 %.
TEST(FlutterFigures, WeighsByTheTable) {
  for (const auto& [hz, db] : test::kWeightingTable) {
    if (hz < 0.3) continue;  // 0.01 of what comes in: there the transients show
    auto figures = sampled();
    figures.process(points_of(sine(hz, 1.0), 60.0));
    EXPECT_NEAR(20.0 * std::log10(percent(figures.whole({}).weighted_rms) * std::sqrt(2.0)), db, 0.35) << hz;
  }
}

TEST(FlutterFigures, SaysNothingFromLessThanFiveSeconds) {
  auto figures = sampled();
  figures.process(points_of(sine(4.0, 0.1), 5.0));
  EXPECT_FALSE(figures.live({}).weighted_two_sigma);
  EXPECT_FALSE(figures.whole({}).unweighted_rms);
  figures.process(points_of(sine(4.0, 0.1), 1.0));
  EXPECT_TRUE(figures.live({}).weighted_two_sigma);
  EXPECT_TRUE(figures.whole({}).unweighted_rms);
  figures.reset();
  EXPECT_FALSE(figures.whole({}).unweighted_rms);
}

TEST(FlutterFigures, ReadsZeroFromASteadyMean) {
  auto figures = sampled();
  figures.process(points_of([](double) { return 2.3; }, 30.0));
  EXPECT_LT(percent(figures.whole({}).weighted_two_sigma), 1e-9);
  EXPECT_LT(percent(figures.whole({}).unweighted_rms), 1e-9);
}

TEST(FlutterFigures, LiveForgetsAfterTenSeconds) {
  auto figures = sampled();
  figures.process(points_of(sine(4.0, 1.0), 20.0));
  figures.process(points_of(sine(4.0, 0.1), 25.0));
  expect_figure(figures.live({}).weighted_two_sigma, 0.1 * kSineTwoSigma, "2 sigma");
  expect_figure(figures.live({}).weighted_quasi_peak, 0.1, "quasi-peak");
  expect_figure(figures.whole({}).weighted_quasi_peak, 1.0, "quasi-peak of the whole");
}

TEST(FlutterFigures, DoesNotDependOnTheBlocks) {
  test::Noise noise(8);
  auto points = points_of([&](double t) { return 0.1 * std::sin(30.0 * t) + 0.05 * noise(); }, 30.0);
  for (std::size_t n = 12000; n < 12040; ++n) points[n].valid = false;
  std::vector<double> read;
  for (const std::size_t piece : {std::size_t{1}, std::size_t{128}, std::size_t{4096}}) {
    auto figures = sampled();
    for (std::size_t at = 0; at < points.size(); at += piece)
      figures.process(std::span(points).subspan(at, std::min(piece, points.size() - at)));
    read.push_back(percent(figures.whole({}).weighted_two_sigma));
    EXPECT_EQ(read.back(), read.front());
  }
}

// ---- Voids --------------------------------------------------------------------------------------------------------

// Voids of 5 to 80 ms, one in two to four seconds, full of nonsense, beside a step of the mean where the tone was off.
TEST(FlutterFigures, DropoutsLeaveTheFiguresAlone) {
  test::Noise noise(9);
  const auto wow = [](double t) {
    return 1.1 + 0.1 * std::sin(test::kTwoPi * 0.71 * t) + 0.15 * std::sin(test::kTwoPi * 7.6 * t) +
           0.04 * std::sin(test::kTwoPi * 41.0 * t);
  };
  auto points = points_of(wow, 120.0);
  auto whole = sampled();
  whole.process(points);
  for (double t = 1.0; t < 119.0; t += 2.0 + 2.0 * noise.uniform()) {
    const auto from = static_cast<std::size_t>(t * kRateHz);
    const auto length = static_cast<std::size_t>(5.0 + 75.0 * noise.uniform());
    for (std::size_t n = from; n < from + length; ++n)
      points[n] = {n % 7 == 0 ? std::numeric_limits<double>::quiet_NaN() : 40.0 * noise(), false};
  }
  auto holed = sampled();
  holed.process(points);
  const auto expected = whole.whole({});
  const auto read = holed.whole({});
  EXPECT_NEAR(percent(read.weighted_two_sigma) / percent(expected.weighted_two_sigma), 1.0, 0.02);
  EXPECT_NEAR(percent(read.weighted_rms) / percent(expected.weighted_rms), 1.0, 0.02);
  EXPECT_NEAR(percent(read.weighted_quasi_peak) / percent(expected.weighted_quasi_peak), 1.0, 0.03);
  EXPECT_NEAR(percent(read.unweighted_two_sigma) / percent(expected.unweighted_two_sigma), 1.0, 0.02);
  EXPECT_NEAR(percent(read.unweighted_rms) / percent(expected.unweighted_rms), 1.0, 0.02);
  EXPECT_NEAR(percent(read.wow_rms) / percent(expected.wow_rms), 1.0, 0.02);
  EXPECT_NEAR(percent(read.flutter_rms) / percent(expected.flutter_rms), 1.0, 0.02);
  EXPECT_LT(read.counted_s, expected.counted_s);
}

TEST(FlutterFigures, BeginsAnewBehindALongLoss) {
  auto figures = sampled();
  figures.process(points_of(sine(4.0, 0.1, 0.5), 20.0));
  figures.process(std::vector<DeviationPoint>(3000, DeviationPoint{0.0, false}));
  figures.process(points_of(sine(4.0, 0.1, -4.0), 3.0));  // too short to be read
  figures.process(std::vector<DeviationPoint>(3000, DeviationPoint{0.0, false}));
  figures.process(points_of(sine(4.0, 0.1, 3.0), 20.0));
  const auto read = figures.whole({});
  expect_figure(read.weighted_quasi_peak, 0.1, "quasi-peak");
  expect_figure(read.weighted_rms, 0.1 / std::sqrt(2.0), "weighted RMS");
  expect_figure(read.unweighted_rms, 0.1 / std::sqrt(2.0), "unweighted RMS");
  EXPECT_NEAR(read.counted_s, 40.0, 2.0);
}

TEST(FlutterFigures, LiveSaysNothingOnceTheToneIsGone) {
  auto figures = sampled();
  figures.process(points_of(sine(4.0, 0.1), 30.0));
  figures.process(std::vector<DeviationPoint>(20000, DeviationPoint{0.0, false}));
  EXPECT_FALSE(figures.live({}).weighted_rms);
  EXPECT_FALSE(figures.live({}).drift);
  EXPECT_TRUE(figures.whole({}).weighted_rms);
}

TEST(FlutterFigures, FindsDriftBesideWow) {
  auto figures = sampled();
  const auto sag = [](double t) {
    return 0.4 - 0.2 * t / 60.0 + 0.1 * std::sin(test::kTwoPi * 0.43 * t) + 0.05 * std::sin(test::kTwoPi * 6.1 * t);
  };
  figures.process(points_of(sag, 240.0));
  const Drift drift = figures.whole({}).drift.value();
  EXPECT_NEAR(drift.percent_per_minute, -0.2, 0.004);
  EXPECT_NEAR(drift.percent_per_minute, -0.2, drift.u95_percent_per_minute);
  const Drift live = figures.live({}).drift.value();
  EXPECT_NEAR(live.percent_per_minute, -0.2, live.u95_percent_per_minute);
  // The sag stays out of the unweighted figure: root of the two parts' powers.
  EXPECT_NEAR(percent(figures.whole({}).unweighted_rms), std::sqrt((0.01 + 0.0025) / 2.0), 0.001);
}

}  // namespace
}  // namespace four76
