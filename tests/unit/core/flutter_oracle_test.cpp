// The figures against an independent computation: Fourier's transform of the whole record (FFTW, double precision),
// weighed by the standard's table with a cubic spline through it instead of poles and zeros, cut sharply at 200 Hz; the
// two-sigma by sorting. No filter, detector or histogram in common. And from the sound on: tones of known deviation
// through the track.
#include <fftw3.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <complex>
#include <functional>
#include <vector>

#include "core/flutter/flutter_figures.hpp"
#include "tests/unit/core/flutter_signals.hpp"
#include "tests/unit/core/session_runs.hpp"
#include "tests/unit/core/table_curve.hpp"
#include "tests/unit/core/test_signals.hpp"
#include "tests/unit/core/tracked.hpp"

namespace four76 {
namespace {

using Gain = std::function<double(double)>;

struct Level {
  double rms = 0.0, two_sigma = 0.0;
};

// The record through that gain, its ends left out.
Level by_transform(const std::vector<double>& deviation, double rate_hz, const Gain& gain) {
  std::vector<std::complex<double>> x(deviation.begin(), deviation.end());
  auto* data = reinterpret_cast<fftw_complex*>(x.data());
  const int n = static_cast<int>(x.size());
  const fftw_plan forth = fftw_plan_dft_1d(n, data, data, FFTW_FORWARD, FFTW_ESTIMATE);
  const fftw_plan back = fftw_plan_dft_1d(n, data, data, FFTW_BACKWARD, FFTW_ESTIMATE);
  fftw_execute(forth);
  for (std::size_t k = 0; k < x.size(); ++k) {
    const auto mirrored = static_cast<double>(std::min(k, x.size() - k));
    x[k] *= gain(mirrored * rate_hz / static_cast<double>(x.size())) / static_cast<double>(x.size());
  }
  fftw_execute(back);
  fftw_destroy_plan(forth);
  fftw_destroy_plan(back);
  std::vector<double> magnitudes;
  const auto edge = static_cast<std::size_t>(6.0 * rate_hz);
  double squares = 0.0;
  for (std::size_t k = edge; k + edge < x.size(); ++k) {
    magnitudes.push_back(std::abs(x[k].real()));
    squares += x[k].real() * x[k].real();
  }
  const auto at = magnitudes.begin() + static_cast<std::ptrdiff_t>(0.95 * static_cast<double>(magnitudes.size()));
  std::nth_element(magnitudes.begin(), at, magnitudes.end());
  return {std::sqrt(squares / static_cast<double>(magnitudes.size())), *at};
}

// Random wow: slow wander, a capstan whose strength wanders, a hiss of flutter, a reel.
std::vector<double> random_wow(double seconds, double rate_hz, double strength, std::uint64_t seed) {
  test::Noise noise(seed);
  std::vector<double> x(test::frames_in(seconds, rate_hz));
  double slow = 0.0;
  double in_phase = 0.0;
  double across = 0.0;
  double fast = 0.0;
  const double a = test::kTwoPi / rate_hz;
  for (std::size_t n = 0; n < x.size(); ++n) {
    const double t = static_cast<double>(n) / rate_hz;
    slow += 0.8 * a * (30.0 * noise() - slow);
    in_phase += 0.5 * a * (30.0 * noise() - in_phase);
    across += 0.5 * a * (30.0 * noise() - across);
    fast += 40.0 * a * (2.0 * noise() - fast);
    const double capstan = test::kTwoPi * 7.3 * t;
    x[n] = strength * (0.5 * slow + in_phase * std::cos(capstan) + across * std::sin(capstan) + 0.5 * fast +
                       0.5 * std::sin(test::kTwoPi * 0.53 * t));
  }
  return x;
}

double percent(const std::optional<FlutterFigure>& figure) { return figure.value().percent.value(); }

void expect_near(const FlutterReading& read, const std::vector<double>& deviation, double rate_hz, double share) {
  const test::TableCurve table;
  const auto split = [](double hz) { return 1.0 / std::sqrt(1.0 + std::pow(hz / 10.0, 8.0)); };
  const auto in_band = [](double hz) { return hz >= 0.035 && hz <= 200.0; };
  const Level weighted = by_transform(deviation, rate_hz, table);
  const Level flat = by_transform(deviation, rate_hz, [&](double hz) { return in_band(hz) ? 1.0 : 0.0; });
  const Level wow = by_transform(deviation, rate_hz, [&](double hz) { return in_band(hz) ? split(hz) : 0.0; });
  const Level flutter = by_transform(
      deviation, rate_hz, [&](double hz) { return in_band(hz) ? std::sqrt(1.0 - std::pow(split(hz), 2.0)) : 0.0; });
  EXPECT_NEAR(percent(read.weighted_rms) / weighted.rms, 1.0, share);
  EXPECT_NEAR(percent(read.weighted_two_sigma) / weighted.two_sigma, 1.0, share);
  EXPECT_NEAR(percent(read.unweighted_rms) / flat.rms, 1.0, share);
  EXPECT_NEAR(percent(read.unweighted_two_sigma) / flat.two_sigma, 1.0, share);
  EXPECT_NEAR(percent(read.wow_rms) / wow.rms, 1.0, share);
  EXPECT_NEAR(percent(read.wow_two_sigma) / wow.two_sigma, 1.0, share);
  EXPECT_NEAR(percent(read.flutter_rms) / flutter.rms, 1.0, share);
  EXPECT_NEAR(percent(read.flutter_two_sigma) / flutter.two_sigma, 1.0, share);
}

TEST(FlutterOracle, RandomWowReadsAsTheWholeRecordsTransformSays) {
  for (const double rate_hz : {700.0, 1002.0, 2400.0})
    for (const std::uint64_t seed : {1U, 2U, 3U}) {
      const auto deviation = random_wow(240.0, rate_hz, 0.1, seed);
      FlutterFigures figures({.point_rate_hz = rate_hz, .differenced = false});
      for (const double each : deviation) figures.process(std::vector<DeviationPoint>{{each}});
      expect_near(figures.whole({}), deviation, rate_hz, 0.03);
    }
}

// A tone whose speed is that random wow, through the track: straight lines between its points 1 ms apart.
TEST(FlutterOracle, RandomWowFromTheSoundOn) {
  const double wow_rate_hz = 4000.0;
  const double sample_rate_hz = 48000.0;
  const auto deviation = random_wow(90.0, wow_rate_hz, 0.1, 5);
  std::vector<double> cycles{0.0};
  for (const double each : deviation) cycles.push_back(cycles.back() + 3150.0 * (1.0 + each / 100.0) / wow_rate_hz);
  const auto sound = test::sound_of(
      [&](double t) {
        const double at = t * wow_rate_hz;
        const auto n = static_cast<std::size_t>(at);
        return cycles[n] + (at - static_cast<double>(n)) * (cycles[n + 1] - cycles[n]);
      },
      89.9, sample_rate_hz, 0.2);
  const auto points = test::deviation_points(sound, sample_rate_hz, 3150.0, 3150.0);
  FlutterFigures figures({.point_rate_hz = points.rate_hz, .nominal_hz = 3150.0});
  figures.process(points.points);
  expect_near(figures.whole({}), deviation, wow_rate_hz, 0.03);
  // And as the command line and the page read it, noise and all.
  auto noisy = sound;
  test::add_noise_dbhz(noisy, 0.2, 72.0, sample_rate_hz, 6);
  ToneSession session(test::listening(sample_rate_hz, 3150.0));
  session.process(noisy);
  expect_near(session.whole_flutter(0), deviation, wow_rate_hz, 0.03);
}

struct EndToEnd {
  double sample_rate_hz, nominal_hz;
};
class FlutterEndToEnd : public testing::TestWithParam<EndToEnd> {};
INSTANTIATE_TEST_SUITE_P(RatesAndTones, FlutterEndToEnd,
                         testing::Values(EndToEnd{44100.0, 3000.0}, EndToEnd{48000.0, 3000.0},
                                         EndToEnd{96000.0, 3000.0}, EndToEnd{44100.0, 3150.0},
                                         EndToEnd{48000.0, 3150.0}, EndToEnd{96000.0, 3150.0}));

void expect_figure(const std::optional<FlutterFigure>& figure, double expected, const std::string& name) {
  ASSERT_TRUE(figure && figure->percent) << name;
  EXPECT_NEAR(*figure->percent, expected, std::max(0.01 * expected, 0.001)) << name;
}

FlutterReading read_tone(const EndToEnd& with, double rate_hz, double peak_percent) {
  // 0.8 % fast: the peak counts against the nominal.
  const double mean_hz = 1.008 * with.nominal_hz;
  const test::SineWow wow{mean_hz, peak_percent / 100.0 / 1.008, rate_hz, 0.4};
  const auto sound = test::sound_of(wow, 14.0, with.sample_rate_hz, 0.1);
  const auto points = test::deviation_points(sound, with.sample_rate_hz, with.nominal_hz, mean_hz);
  FlutterFigures figures({.point_rate_hz = points.rate_hz, .nominal_hz = with.nominal_hz});
  figures.process(points.points);
  return figures.whole({});
}

// What is promised: 1 % of the reading or 0.001 %.
TEST_P(FlutterEndToEnd, TonesOfKnownDeviationReadIt) {
  for (const double peak : {0.01, 0.1, 1.0, 3.0}) {
    const std::string name = std::to_string(peak) + " % peak";
    const auto slow = read_tone(GetParam(), 4.0, peak);
    expect_figure(slow.weighted_two_sigma, 0.99692 * peak, name + ", weighted 2 sigma");
    expect_figure(slow.weighted_quasi_peak, peak, name + ", quasi-peak");
    expect_figure(slow.weighted_rms, peak / std::sqrt(2.0), name + ", weighted RMS");
    expect_figure(slow.unweighted_two_sigma, 0.99692 * peak, name + ", unweighted 2 sigma");
    expect_figure(slow.wow_rms, peak / std::sqrt(2.0), name + ", wow RMS");
    const auto fast = read_tone(GetParam(), 90.0, peak);
    expect_figure(fast.unweighted_two_sigma, 0.99692 * peak, name + ", unweighted 2 sigma of 90 Hz");
    expect_figure(fast.unweighted_rms, peak / std::sqrt(2.0), name + ", unweighted RMS of 90 Hz");
    expect_figure(fast.flutter_rms, peak / std::sqrt(2.0), name + ", flutter RMS of 90 Hz");
  }
}

// The track's own count of N0/C takes the noise out: 1 % of 0.1 % is well below it.
TEST(FlutterOracle, TakesTheNoiseOutOfANoisyTone) {
  const double dbhz = 60.0;
  auto sound = test::sound_of(test::SineWow{3150.0, 0.0005, 4.0, 0.4}, 60.0, 48000.0, 0.1);
  test::add_noise_dbhz(sound, 0.1, dbhz, 48000.0, 20);
  const auto points = test::deviation_points(sound, 48000.0, 3150.0, 3150.0);
  FlutterFigures figures({.point_rate_hz = points.rate_hz, .nominal_hz = 3150.0});
  figures.process(points.points);
  const auto read = figures.whole(points.noise_to_carrier);
  EXPECT_NEAR(percent(read.weighted_rms) / (0.05 / std::sqrt(2.0)), 1.0, 0.01);
  EXPECT_NEAR(percent(read.weighted_two_sigma) / (0.99692 * 0.05), 1.0, 0.03);
  EXPECT_NEAR(percent(read.unweighted_rms) / (0.05 / std::sqrt(2.0)), 1.0, 0.06);
  EXPECT_NEAR(percent(read.unweighted_rms), 0.05 / std::sqrt(2.0), *read.unweighted_rms->u95_percent);
  EXPECT_TRUE(read.flutter_rms->below_noise);  // 4 Hz leaves 0.0009 % above 10 Hz, under 0.056 % of noise
}

}  // namespace
}  // namespace four76
