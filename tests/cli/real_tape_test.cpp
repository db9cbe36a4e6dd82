// Against a real tape machine: a channel of pulses, 100 a second, as it came off an open-reel machine (tests/data/
// real_tape, whose README says whose it is). The instrument hears the 29th harmonic of the train as a tone of 2900 Hz.
// What it says is held against the pulses' own times: each pulse's delay against the mean pulse, as the slope of the
// phase over all frequencies up to 22 kHz. The two have the machine in common and no step of the way.
#include <fftw3.h>
#include <gtest/gtest.h>
#include <sndfile.h>

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <numeric>
#include <span>
#include <string>
#include <vector>

#include "tests/cli/liquid_speed.hpp"
#include "tests/unit/core/session_runs.hpp"
#include "tests/unit/core/table_curve.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76::test {
namespace {

using Complex = std::complex<double>;

constexpr double kSampleRateHz = 44100.0, kTone_hz = 2900.0, kPulseRateHz = 100.0;
constexpr int kPeriod = 441;
// The harmonic is cut out with its side-bands up to half way to the next.
constexpr double kFlatHz = 40.0, kNothingHz = 60.0;
// What a filter of 20 Hz of slope rings at the ends of the piece.
constexpr double kEdgeS = 0.25;

std::vector<double> recording(const std::string& name) {
  SF_INFO info{};
  SNDFILE* file = sf_open((FOUR76_DATA_DIR "/real_tape/" + name + ".flac").c_str(), SFM_READ, &info);
  EXPECT_NE(file, nullptr) << name;
  if (file == nullptr) return {};
  EXPECT_EQ(info.samplerate, 44100);
  std::vector<double> x(static_cast<std::size_t>(info.frames));
  EXPECT_EQ(sf_readf_double(file, x.data(), info.frames), info.frames);
  sf_close(file);
  return x;
}

// ---- The pulses' own times -----------------------------------------------------------------------------------------

constexpr int kWindow = 64, kBefore = 16;

std::vector<Complex> spectrum_at(const std::vector<double>& x, std::size_t peak) {
  std::vector<Complex> bins(kWindow / 2);
  for (int k = 0; k < kWindow / 2; ++k)
    for (int n = 0; n < kWindow; ++n)
      bins[static_cast<std::size_t>(k)] +=
          x[peak - kBefore + static_cast<std::size_t>(n)] * std::polar(1.0, -kTwoPi * k * n / kWindow);
  return bins;
}

// In samples: the highest sample near where each pulse is due, then the slope of the phase against the mean pulse.
std::vector<double> pulse_times(const std::vector<double>& x) {
  std::vector<std::size_t> peaks;
  for (std::size_t due = 0; due + kWindow + 8 < x.size();) {
    const std::size_t reach = peaks.empty() ? kPeriod : 6;
    const std::size_t from = peaks.empty() ? kBefore : due - reach;
    const auto begin = x.begin() + static_cast<std::ptrdiff_t>(from);
    const auto peak = from + static_cast<std::size_t>(
                                 std::max_element(begin, begin + static_cast<std::ptrdiff_t>(2 * reach)) - begin);
    peaks.push_back(peak);
    due = peak + kPeriod;
  }
  std::vector<std::vector<Complex>> spectra;
  std::vector<Complex> mean(kWindow / 2);
  for (const std::size_t peak : peaks) {
    spectra.push_back(spectrum_at(x, peak));
    for (std::size_t k = 0; k < mean.size(); ++k) mean[k] += spectra.back()[k] / static_cast<double>(peaks.size());
  }
  std::vector<double> times;
  for (std::size_t i = 0; i < peaks.size(); ++i) {
    double above = 0.0, below = 0.0;
    for (std::size_t k = 1; k < mean.size(); ++k) {
      const Complex cross = spectra[i][k] * std::conj(mean[k]);
      const double turn = kTwoPi * static_cast<double>(k) / kWindow;
      above -= std::abs(cross) * turn * std::arg(cross);
      below += std::abs(cross) * turn * turn;
    }
    times.push_back(static_cast<double>(peaks[i]) + above / below);
  }
  return times;
}

// The machine's speed between one pulse and the next, percent.
std::vector<double> speed_of(const std::vector<double>& times) {
  std::vector<double> percent;
  for (std::size_t i = 1; i < times.size(); ++i) percent.push_back(100.0 * (kPeriod / (times[i] - times[i - 1]) - 1.0));
  return percent;
}

double mean_of(const std::vector<double>& times) {
  return 100.0 * (kPeriod * static_cast<double>(times.size() - 1) / (times.back() - times.front()) - 1.0);
}

// Those away from the ends of the piece.
std::vector<double> inner(const std::vector<double>& times, std::size_t samples) {
  const double edge = kEdgeS * kSampleRateHz;
  std::vector<double> some;
  for (const double t : times)
    if (t >= edge && t <= static_cast<double>(samples) - edge) some.push_back(t);
  return some;
}

// ---- The harmonic as a tone ----------------------------------------------------------------------------------------

double band_gain(double off_hz) {
  const double off = std::clamp((std::abs(off_hz) - kFlatHz) / (kNothingHz - kFlatHz), 0.0, 1.0);
  return 0.5 + 0.5 * std::cos(std::numbers::pi * off);
}

void transform(std::vector<Complex>& x, int direction) {
  auto* data = reinterpret_cast<fftw_complex*>(x.data());
  const fftw_plan plan = fftw_plan_dft_1d(static_cast<int>(x.size()), data, data, direction, FFTW_ESTIMATE);
  fftw_execute(plan);
  fftw_destroy_plan(plan);
}

// Its analytic signal, by Fourier's transform of the whole piece, without the ends.
std::vector<Complex> harmonic(const std::vector<double>& x) {
  std::vector<Complex> z(x.begin(), x.end());
  transform(z, FFTW_FORWARD);
  for (std::size_t k = 0; k < z.size(); ++k) {
    const double hz = static_cast<double>(k) * kSampleRateHz / static_cast<double>(z.size());
    z[k] *= 2.0 * band_gain(hz - kTone_hz) / static_cast<double>(z.size());
  }
  transform(z, FFTW_BACKWARD);
  const auto edge = static_cast<std::ptrdiff_t>(kEdgeS * kSampleRateHz);
  return {z.begin() + edge, z.end() - edge};
}

std::vector<float> sound_of(const std::vector<Complex>& z) {
  std::vector<float> x;
  for (const Complex& each : z) x.push_back(static_cast<float>(4.0 * each.real()));
  return x;
}

// The piece forwards, backwards and so on: figures of wow and flutter want more than five seconds. The phase goes on
// as it went, so that the speed is the piece's and its mirror's in turn, without a step.
std::vector<float> to_and_fro(const std::vector<Complex>& z, int times) {
  std::vector<float> x;
  double angle = std::arg(z[0]);
  for (int k = 0; k < times; ++k)
    for (std::size_t n = 1; n < z.size(); ++n) {
      const std::size_t at = k % 2 == 0 ? n : z.size() - n;
      angle += std::arg(z[at] * std::conj(z[at - 1]));
      x.push_back(static_cast<float>(4.0 * std::abs(z[at]) * std::cos(angle)));
    }
  return x;
}

// ---- The figures from the pulses -----------------------------------------------------------------------------------

struct Level {
  double rms = 0.0, two_sigma = 0.0;
};

// The speed to and fro is periodic: its transform has no ends. `gain` over the rate; the mean over a pulse's interval
// is put back, and the harmonic's band taken off.
template <typename Gain>
Level level_of(const std::vector<double>& speed, const Gain& gain) {
  std::vector<Complex> z(speed.begin(), speed.end());
  z.insert(z.end(), speed.rbegin(), speed.rend());
  const std::size_t count = z.size();
  transform(z, FFTW_FORWARD);
  for (std::size_t k = 0; k < count; ++k) {
    const double hz = static_cast<double>(std::min(k, count - k)) * kPulseRateHz / static_cast<double>(count);
    const double x = std::numbers::pi * hz / kPulseRateHz;
    z[k] *= k == 0 ? 0.0 : gain(hz) * band_gain(hz) * x / std::sin(x) / static_cast<double>(count);
  }
  // Two-sigma wants what lies between the points: four times as many.
  std::vector<Complex> fine(4 * count);
  for (std::size_t k = 0; k < count / 2; ++k) fine[k] = z[k];
  for (std::size_t k = 1; k < count / 2; ++k) fine[fine.size() - k] = z[count - k];
  transform(fine, FFTW_BACKWARD);
  std::vector<double> magnitudes;
  for (const Complex& each : fine) magnitudes.push_back(std::abs(each.real()));
  std::sort(magnitudes.begin(), magnitudes.end());
  const double squares = std::inner_product(magnitudes.begin(), magnitudes.end(), magnitudes.begin(), 0.0);
  return {std::sqrt(squares / static_cast<double>(magnitudes.size())), magnitudes[magnitudes.size() * 95 / 100]};
}

struct Piece {
  const char* name;
  double mean_percent;  // counted once by hand from the first pulse to the last
};
class RealTape : public testing::TestWithParam<Piece> {};
INSTANTIATE_TEST_SUITE_P(Pieces, RealTape,
                         testing::Values(Piece{"pulses_1", -0.0017}, Piece{"pulses_2", 0.0036},
                                         Piece{"pulses_3", 0.0023}));

// Before the tape: pulses and harmonic both say that nothing moved.
TEST_P(RealTape, WhatWentOntoTheTapeIsExact) {
  const auto x = recording(std::string(GetParam().name) + "_in");
  EXPECT_NEAR(mean_of(pulse_times(x)), 0.0, 1e-5);
  const Reading reading = whole_reading(sound_of(harmonic(x)), listening(kSampleRateHz, kTone_hz));
  ASSERT_EQ(reading.status, Status::measured);
  EXPECT_NEAR(reading.speed_error_percent.value(), 0.0, 1e-5);
}

TEST_P(RealTape, TheToneReadsWhatThePulsesTime) {
  const auto x = recording(std::string(GetParam().name) + "_out");
  const auto times = pulse_times(x);
  EXPECT_NEAR(mean_of(times), GetParam().mean_percent, 0.0001);
  const Reading reading = whole_reading(sound_of(harmonic(x)), listening(kSampleRateHz, kTone_hz));
  ASSERT_EQ(reading.status, Status::measured);
  // The two stretches end up to a pulse apart, and the instrument takes up the tone some milliseconds after its
  // beginning: 20 ms in all at the machine's 0.16 % (RMS) are 0.0007 % of 4.5 s.
  EXPECT_NEAR(reading.speed_error_percent.value(), mean_of(inner(times, x.size())), 0.0008);
}

// liquid-dsp's demodulator on the same 36 s. Where a stretch begins and ends matters less the longer it is: 100 ms at
// either end, at 0.16 % (RMS), are 0.0006 %.
TEST_P(RealTape, AnotherEstimatorTellsTheSameSpeed) {
  const auto sound = to_and_fro(harmonic(recording(std::string(GetParam().name) + "_out")), 8);
  const double end_s = static_cast<double>(sound.size()) / kSampleRateHz;
  const Reading reading = whole_reading(sound, listening(kSampleRateHz, kTone_hz));
  ASSERT_EQ(reading.status, Status::measured);
  const double liquid_hz = mean_by_liquid(sound, kSampleRateHz, kTone_hz, 0.05, end_s - 0.05);
  EXPECT_NEAR(reading.speed_error_percent.value(), 100.0 * (liquid_hz / kTone_hz - 1.0), 0.0008);
}

// The tape's hiss tells the ways apart: the harmonic meets that of 120 Hz about it, a pulse's time that of all
// frequencies, weighed by what the pulse has there. It grows with the rate, so it shows least in the weighted figures.
// Two-sigma is the value of the largest twentieth of 4.5 s, some twenty swings, and hiss moves it more than a sum.
TEST_P(RealTape, WowAndFlutterAreWhatThePulsesTime) {
  const auto x = recording(std::string(GetParam().name) + "_out");
  ToneSession session(listening(kSampleRateHz, kTone_hz));
  session.process(to_and_fro(harmonic(x), 8));
  const FlutterReading read = session.whole_flutter(0);
  const auto speed = speed_of(inner(pulse_times(x), x.size()));
  const Level weighted = level_of(speed, TableCurve());
  const Level flat = level_of(speed, [](double) { return 1.0; });
  ASSERT_TRUE(read.weighted_rms && read.weighted_two_sigma && read.unweighted_rms && read.unweighted_two_sigma);
  EXPECT_NEAR(read.weighted_rms->as_read_percent / weighted.rms, 1.0, 0.02);
  EXPECT_NEAR(read.weighted_two_sigma->as_read_percent / weighted.two_sigma, 1.0, 0.04);
  EXPECT_NEAR(read.unweighted_rms->as_read_percent / flat.rms, 1.0, 0.05);
  EXPECT_NEAR(read.unweighted_two_sigma->as_read_percent / flat.two_sigma, 1.0, 0.07);
}

}  // namespace
}  // namespace four76::test
