// The quasi-peak detector against the standard's pulse table: behind the weighting alone, and from tones on through the
// whole instrument.
#include "core/flutter/quasi_peak.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "core/flutter/deviation_filter.hpp"
#include "core/flutter/flutter_figures.hpp"
#include "tests/unit/core/flutter_signals.hpp"
#include "tests/unit/core/session_runs.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

using test::kPulseTable;
using test::kTwoPi;
using test::PulsedTone;
using test::SineWow;

struct Swing {
  double most = 0.0, least = 1e9;
};

// ---- The detector alone --------------------------------------------------------------------------------------------

double sine_reading(double rate_hz, double peak, double point_rate_hz, double seconds = 20.0, double middle = 0.0) {
  QuasiPeak detector({point_rate_hz});
  double most = 0.0;
  for (double n = 0.0; n < seconds * point_rate_hz; n += 1.0)
    most = std::max(most, detector.process(middle + peak * std::sin(kTwoPi * rate_hz * n / point_rate_hz)));
  return most;
}

class QuasiPeakRates : public testing::TestWithParam<double> {};
INSTANTIATE_TEST_SUITE_P(PointRates, QuasiPeakRates, testing::Values(700.0, 1000.0, 1500.0, 2500.0));

TEST_P(QuasiPeakRates, AFourHertzSineReadsItsPeak) {
  for (const double peak : {0.01, 0.2, 3.0}) EXPECT_NEAR(sine_reading(4.0, peak, GetParam()), peak, 0.001 * peak);
}

// The weighting's tolerance is 2 dB (IEC 60386:1972, from memory); what the detector adds to it is less.
TEST_P(QuasiPeakRates, SinesOfOtherRatesReadTheirPeak) {
  for (const double rate_hz : {0.63, 1.0, 2.0, 7.6, 20.0, 40.0, 80.0})
    EXPECT_NEAR(20.0 * std::log10(sine_reading(rate_hz, 1.0, GetParam())), 0.0, 0.5) << rate_hz;
  EXPECT_NEAR(20.0 * std::log10(sine_reading(0.4, 1.0, GetParam())), -1.1, 0.2);
}

TEST(QuasiPeak, BothPolaritiesReadAlike) {
  QuasiPeak up({1000.0});
  QuasiPeak down({1000.0});
  for (int n = 0; n < 3000; ++n) {
    const double x = n % 400 < 60 ? 0.3 : -0.02;
    EXPECT_DOUBLE_EQ(up.process(x), down.process(-x));
  }
}

// From peak to peak: a sine that lies wholly to one side reads half of its height, where a detector of magnitudes would
// read all of it.
TEST(QuasiPeak, AsksForPeakToPeakNotForTheMiddle) {
  for (const double middle : {-1.0, -0.5, 0.5, 1.0})
    EXPECT_NEAR(sine_reading(4.0, 1.0, 1000.0, 20.0, middle), 1.0, 0.08) << middle;
}

TEST(QuasiPeak, SettlesInItsTime) {
  const double settled = sine_reading(4.0, 1.0, 1000.0, QuasiPeak::kSettlingS);
  EXPECT_NEAR(settled, sine_reading(4.0, 1.0, 1000.0, 10.0), 0.01);
}

TEST(QuasiPeak, ReadsNothingInSilence) {
  QuasiPeak detector({1000.0});
  for (int n = 0; n < 100; ++n) EXPECT_EQ(detector.process(0.0), 0.0);
}

// ---- Behind the weighting ------------------------------------------------------------------------------------------

// What the detector shows of deviations in the last five of fifteen seconds.
Swing swing_of(const std::vector<DeviationPoint>& points, double point_rate_hz, bool differenced) {
  DeviationFilter weighting({point_rate_hz, FlutterBand::weighted, differenced});
  QuasiPeak detector({point_rate_hz});
  Swing seen;
  for (std::size_t n = 0; n < points.size(); ++n) {
    const double reading = detector.process(weighting.process(points[n].percent));
    if (static_cast<double>(n) < 10.0 * point_rate_hz) continue;
    seen.most = std::max(seen.most, reading);
    seen.least = std::min(seen.least, reading);
  }
  return seen;
}

Swing pulse_swing(double pulse_s, double height, double point_rate_hz) {
  const auto pulses = [=](double t) { return t - std::floor(t + 1e-9) < pulse_s - 1e-9 ? height : 0.0; };
  return swing_of(test::points_of(pulses, 15.0, point_rate_hz), point_rate_hz, false);
}

TEST_P(QuasiPeakRates, PulsesBehindTheWeightingKeepToTheTable) {
  const double sine = swing_of(test::points_of(test::sine(4.0, 1.0), 15.0, GetParam()), GetParam(), false).most;
  for (const double height : {2.0, -2.0})
    for (const test::PulseRow& row : kPulseTable)
      EXPECT_NEAR(100.0 * pulse_swing(row.pulse_s, height, GetParam()).most / sine, row.percent, row.tolerance)
          << 1000.0 * row.pulse_s << " ms of " << height;
}

TEST_P(QuasiPeakRates, FallsToFourTenthsBetweenLongPulses) {
  for (const double height : {2.0, -2.0}) {
    const Swing seen = pulse_swing(0.100, height, GetParam());
    EXPECT_NEAR(100.0 * seen.least / seen.most, test::kFallPercent, test::kFallTolerance) << height;
  }
}

// ---- From the tone on ----------------------------------------------------------------------------------------------

struct Listening {
  double sample_rate_hz, nominal_hz;
};
class QuasiPeakTones : public testing::TestWithParam<Listening> {};
INSTANTIATE_TEST_SUITE_P(RatesAndTones, QuasiPeakTones,
                         testing::Values(Listening{8000.0, 3150.0}, Listening{16000.0, 3000.0},
                                         Listening{22050.0, 3150.0}, Listening{44100.0, 3150.0},
                                         Listening{48000.0, 3000.0}, Listening{96000.0, 3150.0},
                                         Listening{192000.0, 3150.0}));

template <typename Cycles>
double session_reading(const Cycles& cycles, const Listening& with) {
  ToneSession session(test::listening(with.sample_rate_hz, with.nominal_hz));
  session.process(test::sound_of(cycles, 12.0, with.sample_rate_hz, 0.1));
  const auto figure = session.whole_flutter(0).weighted_quasi_peak;
  return figure && figure->percent ? *figure->percent : std::nan("");
}

TEST_P(QuasiPeakTones, PulsesOfTheTonesFrequencyKeepToTheTable) {
  constexpr double kPeak = 0.0005;  // of the sine
  const double nominal_hz = GetParam().nominal_hz;
  const double sine = session_reading(SineWow{nominal_hz, kPeak, 4.0, 0.0}, GetParam());
  EXPECT_NEAR(sine, 100.0 * kPeak, kPeak);
  for (const double height : {2.0 * kPeak, -2.0 * kPeak})
    for (const test::PulseRow& row : kPulseTable) {
      if (height < 0.0 && GetParam().sample_rate_hz > 48000.0) continue;  // seconds of work for what is the same
      const double reading = session_reading(PulsedTone{nominal_hz, height, row.pulse_s}, GetParam());
      EXPECT_NEAR(100.0 * reading / sine, row.percent, row.tolerance) << 1000.0 * row.pulse_s << " ms of " << height;
    }
}

// From a studio machine's flutter to a portable's. What moves the phase by as much as a lost sample does within 10 ms
// is taken for one, and leaves no figure: 10 ms of 0.2 % are 0.06 cycles of 3150 Hz.
TEST(QuasiPeak, TonePulsesOfAnyHeightKeepToTheTable) {
  const Listening with{48000.0, 3150.0};
  for (const double peak : {0.0001, 0.0003, 0.0015}) {
    const double sine = session_reading(SineWow{with.nominal_hz, peak, 4.0, 0.0}, with);
    for (const test::PulseRow& row : kPulseTable) {
      if (peak > 0.001 && row.pulse_s < 0.02) continue;
      const double reading = session_reading(PulsedTone{with.nominal_hz, 2.0 * peak, row.pulse_s}, with);
      EXPECT_NEAR(100.0 * reading / sine, row.percent, row.tolerance) << 1000.0 * row.pulse_s << " ms of " << peak;
    }
  }
}

// A void of 20 ms, one in two seconds: the figure is that of the tape between them.
TEST(QuasiPeak, VoidsLeaveTheFigureAlone) {
  auto points = test::points_of(test::sine(4.0, 0.1), 30.0);
  for (std::size_t n = 500; n < points.size(); n += 2000)
    for (std::size_t k = n; k < n + 20; ++k) points[k].valid = false;
  FlutterFigures figures({.point_rate_hz = 1000.0, .differenced = false});
  figures.process(points);
  EXPECT_NEAR(figures.whole({}).weighted_quasi_peak.value().percent.value(), 0.1, 0.003);
}

TEST_P(QuasiPeakTones, FallsToFourTenthsBetweenLongPulses) {
  const auto [sample_rate_hz, nominal_hz] = GetParam();
  const auto sound = test::sound_of(PulsedTone{nominal_hz, 0.002, 0.100}, 15.0, sample_rate_hz, 0.1);
  const auto track = test::deviation_points(sound, sample_rate_hz, nominal_hz, nominal_hz);
  const Swing seen = swing_of(track.points, track.rate_hz, true);
  EXPECT_NEAR(100.0 * seen.least / seen.most, test::kFallPercent, test::kFallTolerance);
}

}  // namespace
}  // namespace four76
