// The spectrum of the deviation: sines of known peak and rate, noise of known density; expectations by formula.
#include "core/flutter/flutter_spectrum.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <vector>

#include "tests/unit/core/coverage.hpp"
#include "tests/unit/core/flutter_signals.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

using test::add_phase_noise;

struct Part {
  double rate_hz, peak, angle = 0.3;
};

std::vector<DeviationPoint> sum_of(const std::vector<Part>& parts, double seconds, double rate_hz = 1000.0,
                                   double mean = 0.6) {
  std::vector<DeviationPoint> points;
  for (double n = 0.0; n < seconds * rate_hz; n += 1.0) {
    double sum = mean;
    for (const Part& part : parts) sum += part.peak * std::sin(test::kTwoPi * part.rate_hz * n / rate_hz + part.angle);
    points.push_back({sum});
  }
  return points;
}

FlutterSpectrum sampled(double rate_hz = 1000.0) {
  return FlutterSpectrum({.point_rate_hz = rate_hz, .differenced = false});
}

const FlutterPeak* nearest(const FlutterSpectrumView& view, double rate_hz) {
  const FlutterPeak* best = nullptr;
  for (const FlutterPeak& peak : view.peaks)
    if (!best || std::abs(peak.rate_hz - rate_hz) < std::abs(best->rate_hz - rate_hz)) best = &peak;
  return best;
}

// The parabola's bias over where between the bins the rate lies, at every span and point rate: none but the sine is
// found, its peak within 0.2 % and its rate within 0.003 widths.
TEST(FlutterSpectrum, ASineReadsItsPeakWhateverItsRateAndSpan) {
  for (const double rate_hz : {700.0, 1002.27, 2500.0})
    for (const double seconds : {5.0, 12.0, 31.0, 75.0})
      for (const double hz : {1.003, 2.7183, 7.5787, 31.4159, 100.001, 187.3}) {
        auto spectrum = sampled(rate_hz);
        spectrum.process(sum_of({{hz, 0.2}}, seconds, rate_hz));
        const auto view = spectrum.analyse({}).value();
        ASSERT_EQ(view.peaks.size(), 1U) << hz << " Hz, " << seconds << " s, " << rate_hz;
        EXPECT_NEAR(view.peaks[0].peak_percent, 0.2, 0.002 * 0.2) << hz << " Hz, " << seconds << " s";
        EXPECT_NEAR(view.peaks[0].rate_hz, hz, 0.003 / view.span_s) << hz << " Hz, " << seconds << " s";
        EXPECT_NEAR(view.peaks[0].rate_hz, hz, view.peaks[0].rate_u95_hz);
        EXPECT_NEAR(view.peaks[0].peak_percent, 0.2, view.peaks[0].peak_u95_percent);
        EXPECT_TRUE(view.peaks[0].steady);
      }
}

TEST(FlutterSpectrum, DifferencesOfPhasesReadTheSame) {
  for (const double hz : {4.0, 63.0, 150.0, 195.0}) {
    FlutterSpectrum spectrum({.point_rate_hz = 1000.0});
    std::vector<DeviationPoint> points;
    for (std::size_t n = 0; n < 20000; ++n) points.push_back({0.1 * test::differenced_sine(hz, 1000.0, n)});
    spectrum.process(points);
    EXPECT_NEAR(spectrum.analyse({}).value().peaks[0].peak_percent, 0.1, 0.0003);
  }
}

TEST(FlutterSpectrum, ResolvesMoreTheLongerItListens) {
  auto spectrum = sampled();
  const std::vector<Part> parts{{2.00, 0.1}, {2.15, 0.08}};
  double before = 1e9;
  for (int k = 0; k < 7; ++k) {
    spectrum.process(sum_of(parts, 10.0));
    const auto view = spectrum.analyse({}).value();
    EXPECT_LE(view.resolution_hz, before);
    before = view.resolution_hz;
  }
  EXPECT_NEAR(before, 2.0 / 60.0, 0.001);
}

TEST(FlutterSpectrum, FindsEveryPartOfAMachineAndNothingElse) {
  const std::vector<Part> parts{{0.41, 0.08},   {0.69, 0.03},   {1.25, 0.05},   {2.31, 0.06},
                                {2.62, 0.012},  {4.62, 0.02},   {7.58, 0.2},    {8.1, 0.01},
                                {15.16, 0.004}, {39.7, 0.0008}, {118.0, 0.0003}};
  auto spectrum = sampled();
  spectrum.process(sum_of(parts, 60.0));
  const auto view = spectrum.analyse({}).value();
  EXPECT_EQ(view.peaks.size(), parts.size());
  for (const Part& part : parts) {
    const FlutterPeak* peak = nearest(view, part.rate_hz);
    ASSERT_TRUE(peak);
    EXPECT_NEAR(peak->rate_hz, part.rate_hz, 0.001) << part.rate_hz;
    EXPECT_NEAR(peak->peak_percent, part.peak, 0.01 * part.peak + 2e-6) << part.rate_hz;
  }
  for (std::size_t i = 1; i < view.peaks.size(); ++i)
    EXPECT_GE(view.peaks[i - 1].peak_percent, view.peaks[i].peak_percent);
}

TEST(FlutterSpectrum, DriftIsNoPeak) {
  auto spectrum = sampled();
  auto points = sum_of({{7.6, 0.1}}, 60.0);
  for (std::size_t n = 0; n < points.size(); ++n) points[n].percent -= 0.5 * static_cast<double>(n) / 60000.0;
  spectrum.process(points);
  EXPECT_EQ(spectrum.analyse({}).value().peaks.size(), 1U);
}

// A tone in white noise has frequency noise of the one-sided density f^2 N0/C Hz^2/Hz
// (sources.md#noise-of-a-demodulated-tone). Hann's window of span T reads 2 * 1.5 / T of a density as the square of a
// sine's peak.
TEST(FlutterSpectrum, NoiseReadsAsItsDensitySays) {
  FlutterSpectrum spectrum({.point_rate_hz = 1000.0, .nominal_hz = 3000.0});
  auto points = sum_of({}, 60.0);
  add_phase_noise(points, 1e-6, 3);
  spectrum.process(points);
  const auto view = spectrum.analyse(1e-6).value();
  for (const double from_hz : {10.0, 50.0, 150.0}) {
    double mean = 0.0;
    double count = 0.0;
    for (double hz = from_hz; hz < 1.25 * from_hz; hz += view.bin_hz, count += 1.0) {
      const auto k = static_cast<std::size_t>(hz / view.bin_hz);
      mean += std::pow(static_cast<double>(view.peak_percent[k]) * 3000.0 / 100.0 / hz, 2.0);
    }
    EXPECT_NEAR(mean / count / (1e-6 * 3.0 / view.span_s), 1.0, from_hz < 20.0 ? 0.35 : 0.15) << from_hz;
  }
}

TEST(FlutterSpectrum, NoiseAloneIsSeldomAPeak) {
  FlutterSpectrum spectrum({.point_rate_hz = 1000.0});
  int found = 0;
  for (std::uint64_t seed = 0; seed < 40; ++seed)
    for (const double seconds : {6.0, 20.0, 60.0}) {
      spectrum.reset();
      auto points = sum_of({}, seconds);
      add_phase_noise(points, 1e-6, 50 + seed);
      spectrum.process(points);
      found +=
          static_cast<int>(spectrum.analyse(seed % 2 == 0 ? std::optional(1e-6) : std::nullopt).value().peaks.size());
    }
  EXPECT_LE(found, 4);  // of 120 spectra, each 0.01
}

// Random wow has no rate of its own: a wandering continuum is not called a part.
TEST(FlutterSpectrum, RandomWowIsSeldomAPeak) {
  auto spectrum = sampled();
  int found = 0;
  for (std::uint64_t seed = 0; seed < 40; ++seed) {
    test::Noise noise(200 + seed);
    double slow = 0.0;
    double slower = 0.0;
    std::vector<DeviationPoint> points;
    for (int n = 0; n < 40000; ++n) {
      slow += 0.03 * (noise() - slow);
      slower += 0.003 * (noise() - slower);
      points.push_back({0.2 * slow + slower});
    }
    spectrum.reset();
    spectrum.process(points);
    found += static_cast<int>(spectrum.analyse({}).value().peaks.size());
  }
  EXPECT_LE(found, 4);  // of 40
}

TEST(FlutterSpectrum, StatedUncertaintyHolds) {
  FlutterSpectrum spectrum({.point_rate_hz = 1000.0});
  int count = 0;
  int rate_held = 0;
  int peak_held = 0;
  for (std::uint64_t seed = 0; seed < 150; ++seed) {
    spectrum.reset();
    const double hz = 20.0 + 0.173 * static_cast<double>(seed);
    auto points = sum_of({{hz, 0.006, 0.1 * static_cast<double>(seed)}}, 15.0);
    add_phase_noise(points, 1e-6, 400 + seed);
    spectrum.process(points);
    const auto view = spectrum.analyse(1e-6).value();
    const FlutterPeak* peak = nearest(view, hz);
    if (!peak || std::abs(peak->rate_hz - hz) > view.resolution_hz) continue;
    ++count;
    rate_held += std::abs(peak->rate_hz - hz) <= peak->rate_u95_hz;
    peak_held += std::abs(peak->peak_percent - 0.006) <= peak->peak_u95_percent;
  }
  EXPECT_GE(count, 140);
  EXPECT_TRUE(test::covers(rate_held, count));
  EXPECT_TRUE(test::covers(peak_held, count));
}

TEST(FlutterSpectrum, VoidsLeaveTheCalibrationAlone) {
  test::Noise noise(7);
  const std::vector<Part> parts{{0.7, 0.05}, {7.6, 0.2}, {40.3, 0.03}};
  auto points = sum_of(parts, 60.0);
  for (double t = 2.0; t < 58.0; t += 0.5 + noise.uniform()) {
    const auto from = static_cast<std::size_t>(1000.0 * t);
    for (std::size_t n = from; n < from + 100; ++n) points[n] = {50.0, false};
  }
  std::fill(points.begin() + 30000, points.begin() + 33000, DeviationPoint{-20.0, false});
  auto spectrum = sampled();
  spectrum.process(points);
  const auto view = spectrum.analyse({}).value();
  EXPECT_EQ(view.peaks.size(), 3U);
  for (const Part& part : parts) {
    const FlutterPeak* peak = nearest(view, part.rate_hz);
    ASSERT_TRUE(peak);
    EXPECT_NEAR(peak->rate_hz, part.rate_hz, 0.003) << part.rate_hz;
    EXPECT_NEAR(peak->peak_percent, part.peak, 0.05 * part.peak) << part.rate_hz;
  }
}

// A reel whose rate falls from 0.70 to 0.62 Hz within a minute: one part, and not called steady.
TEST(FlutterSpectrum, APartThatMovesIsOne) {
  auto spectrum = sampled();
  test::Noise noise(17);
  std::vector<DeviationPoint> points;
  for (int n = 0; n < 60000; ++n) {
    const double t = n / 1000.0;
    points.push_back({0.1 * std::sin(test::kTwoPi * (0.70 * t - 0.5 * 0.08 / 60.0 * t * t)) + 0.001 * noise()});
  }
  spectrum.process(points);
  const auto view = spectrum.analyse({}).value();
  ASSERT_EQ(view.peaks.size(), 1U);
  EXPECT_NEAR(view.peaks[0].rate_hz, 0.66, 0.03);
  EXPECT_FALSE(view.peaks[0].steady);
}

TEST(FlutterSpectrum, SaysNothingTooSoonOrOfSilence) {
  auto spectrum = sampled();
  spectrum.process(sum_of({{7.6, 0.1}}, 3.9));
  EXPECT_FALSE(spectrum.analyse({}));
  spectrum.reset();
  spectrum.process(std::vector<DeviationPoint>(20000, DeviationPoint{1.0, false}));
  EXPECT_FALSE(spectrum.analyse({}));
  spectrum.reset();
  spectrum.process(std::vector<DeviationPoint>(20000, DeviationPoint{0.0, true}));
  EXPECT_TRUE(spectrum.analyse({}).value().peaks.empty());
}

TEST(FlutterSpectrum, DoesNotDependOnTheBlocks) {
  auto points = sum_of({{0.7, 0.05}, {7.6, 0.2}}, 20.0);
  for (std::size_t n = 9000; n < 9040; ++n) points[n].valid = false;
  double first = 0.0;
  for (const std::size_t piece : {std::size_t{1}, std::size_t{128}, std::size_t{4096}}) {
    auto spectrum = sampled();
    for (std::size_t at = 0; at < points.size(); at += piece)
      spectrum.process(std::span(points).subspan(at, std::min(piece, points.size() - at)));
    const double read = spectrum.analyse({}).value().peaks[0].peak_percent;
    if (piece == 1) first = read;
    EXPECT_EQ(read, first);
  }
}

// From the sound on: a tone with two parts, at the standard's own frequency.
TEST(FlutterSpectrum, ReadsATonesPartsThroughTheTrack) {
  for (const double sample_rate_hz : {44100.0, 48000.0, 96000.0}) {
    const auto cycles = [](double t) {
      const double parts[][2] = {{0.0008, 7.58}, {0.0002, 63.3}};
      double sum = 3162.0 * t;
      for (const auto& [peak, hz] : parts) sum += 3150.0 * peak / (test::kTwoPi * hz) * std::sin(test::kTwoPi * hz * t);
      return sum;
    };
    const auto sound = test::sound_of(cycles, 25.0, sample_rate_hz, 0.1);
    const auto points = test::deviation_points(sound, sample_rate_hz, 3150.0, 3160.0);
    FlutterSpectrum spectrum({.point_rate_hz = points.rate_hz, .nominal_hz = 3150.0});
    spectrum.process(points.points);
    const auto view = spectrum.analyse(points.noise_to_carrier).value();
    ASSERT_GE(view.peaks.size(), 2U);
    EXPECT_NEAR(view.peaks[0].rate_hz, 7.58, 0.001);
    EXPECT_NEAR(view.peaks[0].peak_percent, 0.08, 0.0002);
    EXPECT_NEAR(view.peaks[1].rate_hz, 63.3, 0.001);
    EXPECT_NEAR(view.peaks[1].peak_percent, 0.02, 0.0001);
    for (const FlutterPeak& other : view.peaks.subspan(2)) EXPECT_LT(other.peak_percent, 0.0001) << other.rate_hz;
  }
}

}  // namespace
}  // namespace four76
