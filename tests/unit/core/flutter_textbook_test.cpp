// Wow and flutter from the tone on, against what handbooks of radio say of a modulated carrier. With the modulation
// index m = peak deviation / rate, the carrier is J0(m) and the n-th pair of side-bands Jn(m) of the tone:
// - the carrier vanishes at m = 2.4048, 5.5201, 8.6537, the usual calibration of a deviation meter;
// - a small m is a pair of side-bands of m / 2 each, a quarter turn off those of amplitude modulation.
// (F. E. Terman, Radio Engineers' Handbook, 1943; the zeros of J0 as in any table of Bessel functions; from memory.)
// The response to sines of all rates is the table of IEC 60386:1972, which AES6-2008 keeps (from memory).
#include <fftw3.h>
#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <string>
#include <vector>

#include "tests/unit/core/flutter_signals.hpp"
#include "tests/unit/core/session_runs.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

using test::kTwoPi;

constexpr double kSampleRateHz = 16000.0, kTone_hz = 3150.0;

FlutterReading hear(const std::vector<float>& sound, double sample_rate_hz = kSampleRateHz) {
  ToneSession session(test::listening(sample_rate_hz, kTone_hz));
  session.process(sound);
  return session.whole_flutter(0);
}

double told(const std::optional<FlutterFigure>& figure) {
  return figure && figure->percent ? *figure->percent : std::nan("");
}

// A modulator of whose strength only the knob's place is known.
std::vector<float> modulated(double knob, double rate_hz, double seconds) {
  return test::sound_of([=](double t) { return kTone_hz * t + knob * (1.0 - std::cos(kTwoPi * rate_hz * t)) / kTwoPi; },
                        seconds, kSampleRateHz, 0.1);
}

// The carrier's line in the spectrum (FFTW) of two seconds, with its sign: against the tone without modulation.
double carrier(double knob, double rate_hz) {
  const auto line = [&](double at) {
    const auto sound = modulated(at, rate_hz, 2.0);
    std::vector<double> x(sound.begin(), sound.end());
    std::vector<std::complex<double>> bins(x.size() / 2 + 1);
    const fftw_plan plan = fftw_plan_dft_r2c_1d(static_cast<int>(x.size()), x.data(),
                                                reinterpret_cast<fftw_complex*>(bins.data()), FFTW_ESTIMATE);
    fftw_execute(plan);
    fftw_destroy_plan(plan);
    return bins[static_cast<std::size_t>(2.0 * kTone_hz)];
  };
  // The phase that the modulation's own mean gives it is turned back.
  return (line(knob) * std::polar(1.0, -knob) / line(0.0)).real();
}

// Where the carrier vanishes between two places of the knob.
double null_between(double low, double high, double rate_hz) {
  const bool rising = carrier(low, rate_hz) < 0.0;
  for (int k = 0; k < 30; ++k) {
    const double middle = 0.5 * (low + high);
    ((carrier(middle, rate_hz) < 0.0) == rising ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

struct Null {
  double low, high, index;
};
class BesselNull : public testing::TestWithParam<Null> {};
INSTANTIATE_TEST_SUITE_P(ZerosOfJ0, BesselNull,
                         testing::Values(Null{1.0, 4.0, 2.4048}, Null{4.0, 7.0, 5.5201}, Null{7.0, 10.0, 8.6537}));

TEST_P(BesselNull, TheDeviationIsTheIndexTimesTheRate) {
  for (const double rate_hz : {4.0, 10.0}) {
    const double knob = null_between(GetParam().low, GetParam().high, rate_hz);
    const FlutterReading read = hear(modulated(knob, rate_hz, 14.0));
    const double peak_percent = 100.0 * GetParam().index * rate_hz / kTone_hz;
    EXPECT_NEAR(told(read.unweighted_rms) * std::sqrt(2.0) / peak_percent, 1.0, 0.005) << rate_hz;
    EXPECT_NEAR(told(read.unweighted_two_sigma) / test::kSineTwoSigma / peak_percent, 1.0, 0.005) << rate_hz;
    if (rate_hz > 4.0) continue;  // there the weighting is 1
    EXPECT_NEAR(told(read.weighted_quasi_peak) / peak_percent, 1.0, 0.005);
    EXPECT_NEAR(told(read.weighted_rms) * std::sqrt(2.0) / peak_percent, 1.0, 0.005);
  }
}

// Three steady sines and no modulator at all.
TEST(FlutterTextbook, APairOfSideBandsIsTwiceItsHeightTimesTheRate) {
  for (const double rate_hz : {4.0, 10.0, 50.0})
    for (const double side_db : {-40.0, -50.0}) {
      const double side = std::pow(10.0, side_db / 20.0);
      std::vector<float> sound(test::frames_in(14.0, kSampleRateHz));
      for (std::size_t n = 0; n < sound.size(); ++n) {
        const double t = static_cast<double>(n) / kSampleRateHz;
        sound[n] = static_cast<float>(0.1 * (std::sin(kTwoPi * kTone_hz * t) +
                                             side * std::sin(kTwoPi * (kTone_hz + rate_hz) * t) -
                                             side * std::sin(kTwoPi * (kTone_hz - rate_hz) * t)));
      }
      const double peak_percent = 100.0 * 2.0 * side * rate_hz / kTone_hz;
      EXPECT_NEAR(told(hear(sound).unweighted_rms) * std::sqrt(2.0) / peak_percent, 1.0, 0.01)
          << rate_hz << " Hz, " << side_db << " dB";
    }
}

// Below 0.3 Hz so little is left that the listening's start shows in it.
TEST(FlutterTextbook, SinesOfAllRatesReadByTheStandardsTable) {
  constexpr double kPeak = 0.005;
  for (const auto& [rate_hz, table_db] : test::kWeightingTable) {
    if (rate_hz < 0.3) continue;
    const test::SineWow wow{.mean_hz = kTone_hz, .peak = kPeak, .rate_hz = rate_hz};
    const auto sound = test::sound_of(wow, std::max(15.0, 20.0 / rate_hz), 8000.0, 0.1);
    const double rms = told(hear(sound, 8000.0).weighted_rms);
    EXPECT_NEAR(20.0 * std::log10(rms * std::sqrt(2.0) / (100.0 * kPeak)), table_db, 0.3) << rate_hz;
  }
}

}  // namespace
}  // namespace four76
