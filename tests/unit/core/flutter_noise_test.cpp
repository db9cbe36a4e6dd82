// What the noise beside the tone adds to the figures of wow and flutter, and what is left when it is taken out.
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
using test::sine;

constexpr double kRateHz = 1000.0;
constexpr double kNoiseToCarrier = 1e-6;  // 60 dB-Hz

double percent(const std::optional<FlutterFigure>& figure) { return figure.value().percent.value(); }

// Differences of phases with white noise of that N0/C, as the track gives them: one-sided density of the phase in
// radians squared N0/C, so sigma^2 = N0/C rate / 2.
std::vector<DeviationPoint> noisy(const std::function<double(double)>& deviation, double seconds, std::uint64_t seed) {
  test::Noise noise(seed);
  const double sigma_cycles = std::sqrt(kNoiseToCarrier * kRateHz / 2.0) / test::kTwoPi;
  std::vector<DeviationPoint> points;
  double before = 0.0;
  for (double n = 0.0; n < seconds * kRateHz; n += 1.0) {
    const double now = sigma_cycles * noise();
    points.push_back({deviation((n - 0.5) / kRateHz) + 100.0 * (now - before) * kRateHz / 3150.0});
    before = now;
  }
  return points;
}

FlutterFigures differenced() { return FlutterFigures({.point_rate_hz = kRateHz, .nominal_hz = 3150.0}); }

// At 60 dB-Hz a perfect 3150 Hz tone reads 0.104 % unweighted, 0.0115 % weighted: twice its RMS, for a sharp cut at
// 200 Hz (sources.md#noise-of-a-demodulated-tone). This cut is not sharp and lets 7 % more through unweighted.
TEST(FlutterFigures, APerfectToneReadsItsNoiseAndSaysSo) {
  auto figures = differenced();
  figures.process(noisy([](double) { return 0.4; }, 60.0, 10));
  const auto read = figures.whole(kNoiseToCarrier);
  for (const auto* figure : {&read.weighted_two_sigma, &read.weighted_rms, &read.weighted_quasi_peak,
                             &read.unweighted_two_sigma, &read.unweighted_rms, &read.flutter_rms, &read.scrape_rms}) {
    EXPECT_TRUE(figure->value().below_noise);
    EXPECT_FALSE(figure->value().percent);
    EXPECT_NEAR(figure->value().as_read_percent / figure->value().noise_percent.value(), 1.0, 0.05);
  }
  EXPECT_TRUE(read.wow_rms->below_noise);
  EXPECT_NEAR(read.weighted_two_sigma->noise_percent.value(), 0.0115, 0.0115 * 0.06);
  EXPECT_NEAR(read.unweighted_two_sigma->noise_percent.value(), 0.104, 0.104 * 0.08);
}

// A false figure where there is only noise: not once in fifty of 20 s each.
TEST(FlutterFigures, NoiseIsSeldomTakenForWow) {
  auto figures = differenced();
  int told = 0;
  for (int k = 0; k < 50; ++k) {
    figures.reset();
    figures.process(noisy([](double) { return 0.0; }, 20.0, 100 + static_cast<std::uint64_t>(k)));
    const auto read = figures.whole(kNoiseToCarrier);
    told += !read.weighted_two_sigma->below_noise + !read.unweighted_rms->below_noise +
            !read.weighted_quasi_peak->below_noise + !read.wow_rms->below_noise;
  }
  EXPECT_LE(told, 8);  // of 200; two standard uncertainties one-sided: 2.3 %, 4.6 expected at most
}

// What is left when the noise is taken out, for a sine whose RMS is 0.7 to 10 times the noise's.
TEST(FlutterFigures, TakesTheNoiseOut) {
  for (const double over : {1.0, 2.0, 5.0, 14.0}) {
    const double weighted_noise = 0.0115 / 1.96;
    const double peak = over * weighted_noise;
    auto figures = differenced();
    figures.process(noisy(sine(4.0, peak), 120.0, 11));
    const auto read = figures.whole(kNoiseToCarrier);
    EXPECT_NEAR(percent(read.weighted_rms) * std::sqrt(2.0) / peak, 1.0, 0.04) << over;
    EXPECT_NEAR(percent(read.weighted_two_sigma) / peak, kSineTwoSigma, over > 1.5 ? 0.05 : 0.25) << over;
    EXPECT_NEAR(percent(read.weighted_two_sigma), peak * kSineTwoSigma, 1.2 * *read.weighted_two_sigma->u95_percent);
    EXPECT_NEAR(percent(read.weighted_quasi_peak) / peak, 1.0, over > 1.5 ? 0.05 : 0.12) << over;
    EXPECT_LT(std::abs(percent(read.weighted_rms) - peak / std::sqrt(2.0)),
              1.5 * read.weighted_rms->u95_percent.value());
  }
}

// Scrape of a third to three times what the noise itself reads from 100 Hz up: 0.05 % at 60 dB-Hz (derived: a density
// of f^2 N0/C). Told where it can be, and within what it states.
TEST(FlutterFigures, TakesTheNoiseOutOfScrape) {
  // The filter at 143 Hz, and what it puts back for differences, which these are not.
  const double half_turn = 0.5 * test::kTwoPi * 143.0 / kRateHz;
  const double bent = std::tan(0.5 * test::kTwoPi * 100.0 / kRateHz) / std::tan(half_turn);
  const double gain = half_turn / std::sin(half_turn) / std::sqrt(1.0 + std::pow(bent, 8.0));
  for (const double rms : {0.017, 0.05, 0.15}) {
    auto figures = differenced();
    figures.process(noisy(sine(143.0, rms / gain * std::sqrt(2.0)), 60.0, 17));
    const auto read = figures.whole(kNoiseToCarrier).scrape_rms.value();
    EXPECT_NEAR(read.noise_percent.value(), 100.0 / 3150.0 * std::sqrt(1e-6 * 2.67e6), 0.03 * 0.05);
    EXPECT_EQ(read.below_noise, rms < read.least_percent.value()) << rms;
    if (read.below_noise) continue;
    EXPECT_NEAR(*read.percent, rms, *read.u95_percent) << rms;
  }
}

TEST(FlutterFigures, TakesTheNoiseOutOfGaussianWow) {
  test::Noise noise(12);
  double wow = 0.0;
  const auto random = [&](double) { return wow += 0.03 * (0.15 * noise() - wow); };
  auto clean = differenced();
  const auto with_noise = noisy(random, 300.0, 13);
  const auto without = noisy([](double) { return 0.0; }, 300.0, 13);
  auto points = with_noise;
  for (std::size_t n = 0; n < points.size(); ++n) points[n].percent -= without[n].percent;
  clean.process(points);
  auto figures = differenced();
  figures.process(with_noise);
  const auto expected = clean.whole({});
  const auto read = figures.whole(kNoiseToCarrier);
  EXPECT_NEAR(percent(read.weighted_two_sigma) / percent(expected.weighted_two_sigma), 1.0, 0.02);
  EXPECT_NEAR(percent(read.unweighted_two_sigma) / percent(expected.unweighted_two_sigma), 1.0, 0.2);
  EXPECT_NEAR(percent(read.unweighted_two_sigma), percent(expected.unweighted_two_sigma),
              *read.unweighted_two_sigma->u95_percent);
  EXPECT_NEAR(percent(read.unweighted_rms) / percent(expected.unweighted_rms), 1.0, 0.1);
  EXPECT_GT(read.unweighted_rms->as_read_percent, 1.3 * percent(expected.unweighted_rms));
}

// Against random numbers: a sine and Gaussian deviation together.
TEST(NoiseRemoval, KnowsTheTwoSigmaOfASineInNoise) {
  test::Noise noise(14);
  for (const double share : {0.0, 0.03, 0.1, 0.3, 0.62, 0.9, 1.0}) {
    TwoSigma figure({});
    for (int n = 0; n < 300000; ++n) {
      const double angle = test::kTwoPi * noise.uniform();
      figure.add(std::sqrt(2.0 * (1.0 - share * share)) * std::sin(angle) + share * noise());
    }
    EXPECT_NEAR(two_sigma_ratio(share), figure.percent().value(), 0.008) << share;
  }
}

}  // namespace
}  // namespace four76
