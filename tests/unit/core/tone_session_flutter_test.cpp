// Wow and flutter from the sound on: tones of known deviation through a whole session.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <vector>

#include "tests/unit/core/session_runs.hpp"

namespace four76 {
namespace {

using test::kTwoPi;

struct Component {
  double rate_hz = 4.0;
  double peak_percent = 0.1;
};

// A tone off its nominal by `off_percent` with sinusoidal wow or flutter.
std::vector<float> wowing(double nominal_hz, std::span<const Component> wow, double seconds, double sample_rate_hz,
                          double off_percent = 0.0) {
  const auto cycles = [&](double t) {
    double passed = nominal_hz * (1.0 + off_percent / 100.0) * t;
    for (const auto& [rate_hz, peak_percent] : wow)
      passed += nominal_hz * peak_percent / 100.0 * (1.0 - std::cos(kTwoPi * rate_hz * t)) / (kTwoPi * rate_hz);
    return passed;
  };
  return test::sound_of(cycles, seconds, sample_rate_hz, 0.1);
}

struct Heard {
  FlutterReading live, whole;
  std::vector<FlutterPeak> peaks;
};
Heard hear(std::span<const float> sound, const ToneSession::Config& config) {
  ToneSession session(config);
  session.process(sound);
  Heard heard{.live = session.flutter(0), .whole = session.whole_flutter(0), .peaks = {}};
  if (const auto view = session.analyse_flutter(0)) heard.peaks.assign(view->peaks.begin(), view->peaks.end());
  return heard;
}

double told(const std::optional<FlutterFigure>& figure) { return figure ? figure->percent.value_or(-1.0) : -2.0; }

// 1 % of the reading or 0.001 %.
void expect_figure(const std::optional<FlutterFigure>& figure, double wanted_percent, const std::string& what) {
  EXPECT_NEAR(told(figure), wanted_percent, std::max(0.001, 0.01 * wanted_percent)) << what;
}

constexpr double kTwoSigmaOfSine = 0.9969;  // sin(0.95 pi / 2), derived

TEST(SessionFlutter, ReadsAFourHertzWowAtEverySampleRateAndStrength) {
  for (const double sample_rate_hz : {8000.0, 16000.0, 22050.0, 44100.0, 48000.0, 96000.0, 192000.0})
    for (const double nominal_hz : {3000.0, 3150.0})
      for (const double peak : {0.01, 0.3, 3.0}) {
        if (sample_rate_hz > 96000.0 && peak < 3.0) continue;
        const std::array wow{Component{4.0, peak}};
        const auto sound = wowing(nominal_hz, wow, 12.0, sample_rate_hz);
        const auto heard = hear(sound, test::listening(sample_rate_hz, nominal_hz));
        const auto what =
            std::to_string(sample_rate_hz) + " " + std::to_string(nominal_hz) + " " + std::to_string(peak);
        for (const FlutterReading& reading : {heard.live, heard.whole}) {
          expect_figure(reading.weighted_two_sigma, kTwoSigmaOfSine * peak, what);
          expect_figure(reading.unweighted_two_sigma, kTwoSigmaOfSine * peak, what);
          expect_figure(reading.weighted_rms, peak / std::sqrt(2.0), what);
          expect_figure(reading.unweighted_rms, peak / std::sqrt(2.0), what);
          expect_figure(reading.weighted_quasi_peak, peak, what);
        }
        ASSERT_FALSE(heard.peaks.empty()) << what;
        EXPECT_NEAR(heard.peaks[0].rate_hz, 4.0, 0.002) << what;
        EXPECT_NEAR(heard.peaks[0].peak_percent, peak, std::max(0.0005, 0.005 * peak)) << what;
      }
}

TEST(SessionFlutter, PartsWowAndFlutterAndNamesEveryComponent) {
  const std::array wow{Component{1.2, 0.12}, Component{7.58, 0.08}, Component{40.0, 0.05}, Component{130.0, 0.03}};
  const auto heard = hear(wowing(3000.0, wow, 20.0, 48000.0, -1.3), test::listening(48000.0));
  // The parting at 10 Hz is a fourth-order Butterworth pair (derived: what of 7.58 Hz counts as flutter).
  const double beyond = std::sqrt(std::pow(0.758, 8.0) / (1.0 + std::pow(0.758, 8.0)));
  const double within = std::sqrt(1.0 - beyond * beyond);
  expect_figure(heard.whole.wow_rms, std::hypot(0.12, 0.08 * within) / std::sqrt(2.0), "wow");
  expect_figure(heard.whole.flutter_rms, std::hypot(0.05, 0.03, 0.08 * beyond) / std::sqrt(2.0), "flutter");
  ASSERT_EQ(heard.peaks.size(), wow.size());
  for (std::size_t i = 0; i < wow.size(); ++i) {  // strongest first in both
    EXPECT_NEAR(heard.peaks[i].rate_hz, wow[i].rate_hz, 0.005);
    EXPECT_NEAR(heard.peaks[i].peak_percent, wow[i].peak_percent, 0.01 * wow[i].peak_percent);
  }
}

TEST(SessionFlutter, ReadsDriftInPercentPerMinute) {
  const auto cycles = [](double t) { return 3000.0 * (t + 0.008 / 60.0 * t * t / 2.0); };  // 0.8 % in a minute
  const auto heard = hear(test::sound_of(cycles, 30.0, 48000.0, 0.1), test::listening(48000.0));
  ASSERT_TRUE(heard.whole.drift);
  EXPECT_NEAR(heard.whole.drift->percent_per_minute, 0.8, 0.005);
}

// A perfect tone in noise: at 60 dB-Hz it would read 0.0115 % weighted (sources.md#noise-of-a-demodulated-tone), and
// must not be told from nothing.
TEST(SessionFlutter, SaysThatAPerfectToneIsBelowWhatCanBeTold) {
  auto sound = test::tone(3150.0, 20.0, 48000.0);
  test::add_noise_dbhz(sound, 0.1, 60.0, 48000.0, 7);
  const auto heard = hear(sound, test::listening(48000.0, 3150.0));
  ASSERT_TRUE(heard.whole.weighted_two_sigma);
  EXPECT_TRUE(heard.whole.weighted_two_sigma->below_noise);
  EXPECT_FALSE(heard.whole.weighted_two_sigma->percent);
  ASSERT_TRUE(heard.whole.weighted_two_sigma->noise_percent);
  EXPECT_NEAR(*heard.whole.weighted_two_sigma->noise_percent, 0.0115, 0.0006);
  EXPECT_TRUE(heard.peaks.empty());
}

TEST(SessionFlutter, TakesTheNoiseOutOfAWow) {
  const std::array wow{Component{4.0, 0.05}};
  auto sound = wowing(3000.0, wow, 30.0, 48000.0);
  test::add_noise_dbhz(sound, 0.1, 58.0, 48000.0, 8);
  const auto heard = hear(sound, test::listening(48000.0));
  EXPECT_NEAR(told(heard.whole.weighted_rms), 0.05 / std::sqrt(2.0), 0.001);
  EXPECT_NEAR(told(heard.whole.weighted_two_sigma), kTwoSigmaOfSine * 0.05, 0.002);
}

// A tenth of a second of nothing now and then: neither the figures nor the peaks may notice.
TEST(SessionFlutter, StepsOverDropouts) {
  const std::array wow{Component{4.0, 0.1}};
  auto sound = wowing(3000.0, wow, 24.0, 48000.0);
  for (double at_s = 3.3; at_s < 23.0; at_s += 2.7)
    for (std::size_t i = 0; i < 4800; ++i) sound[test::frames_in(at_s, 48000.0) + i] *= 0.001F;
  test::add_noise_dbhz(sound, 0.1, 75.0, 48000.0, 9);
  const auto heard = hear(sound, test::listening(48000.0));
  EXPECT_NEAR(told(heard.whole.weighted_two_sigma), kTwoSigmaOfSine * 0.1, 0.003);
  EXPECT_NEAR(told(heard.whole.unweighted_rms), 0.1 / std::sqrt(2.0), 0.003);
  EXPECT_NEAR(told(heard.whole.weighted_quasi_peak), 0.1, 0.005);
  ASSERT_FALSE(heard.peaks.empty());
  EXPECT_NEAR(heard.peaks[0].peak_percent, 0.1, 0.002);
}

// Samples that the device lost step the phase: a spike of a hundred percent, were it counted.
TEST(SessionFlutter, StepsOverLostSamples) {
  const std::array wow{Component{4.0, 0.1}};
  auto sound = wowing(3000.0, wow, 24.0, 48000.0);
  for (const double at_s : {15.0, 9.0, 4.0}) {
    const auto at = sound.begin() + static_cast<std::ptrdiff_t>(test::frames_in(at_s, 48000.0));
    sound.erase(at, at + 441);
  }
  test::add_noise_dbhz(sound, 0.1, 75.0, 48000.0, 10);
  const auto heard = hear(sound, test::listening(48000.0));
  EXPECT_NEAR(told(heard.whole.weighted_two_sigma), kTwoSigmaOfSine * 0.1, 0.003);
  EXPECT_NEAR(told(heard.whole.weighted_quasi_peak), 0.1, 0.005);
}

TEST(SessionFlutter, ForgetsWithTheToneAndGoesOnWithTheNext) {
  const std::array wow{Component{4.0, 0.1}};
  const auto tape = wowing(3000.0, wow, 12.0, 48000.0);
  const std::vector<float> silence(static_cast<std::size_t>(48000 * 20), 0.0F);
  ToneSession session(test::listening(48000.0));
  session.process(tape);
  EXPECT_TRUE(session.flutter(0).weighted_rms);
  session.process(silence);
  EXPECT_FALSE(session.flutter(0).weighted_rms);
  EXPECT_FALSE(session.flutter(0).drift);
  session.process(tape);
  EXPECT_NEAR(told(session.flutter(0).weighted_two_sigma), kTwoSigmaOfSine * 0.1, 0.002);
  EXPECT_NEAR(told(session.whole_flutter(0).weighted_two_sigma), kTwoSigmaOfSine * 0.1, 0.002);
  std::array<TraceRange, 800> trace;
  const std::size_t count = session.raw_trace(0, trace);
  ASSERT_GT(count, 700u);
  EXPECT_NEAR(trace[count - 1].time_s, session.time_s(), 0.3);
  EXPECT_FALSE(trace[count - 1 - 20 * 20].any);  // in the silence
  EXPECT_TRUE(trace[count - 1].any);
  EXPECT_LT(trace[count - 1].highest_percent, 0.11F);
}

TEST(SessionFlutter, ClaimsNothingInSilenceSpeechAndMusic) {
  for (const auto& sound : {std::vector<float>(static_cast<std::size_t>(48000 * 12), 0.0F),
                            test::voice(12.0, 48000.0, 0.2, 3), test::music(12.0, 48000.0, 0.2, 4)}) {
    const auto heard = hear(sound, test::listening(48000.0));
    EXPECT_FALSE(heard.whole.weighted_two_sigma);
  }
}

// The weighted trace stands at the deviation's own time: a sine of 4 Hz, where the weighting is 1, comes out as it went
// in, within the 8 degrees that the weighting turns its phase there (derived from its poles and zeros).
TEST(SessionFlutter, TheWeightedTraceLiesOnTheDeviation) {
  const std::array wow{Component{4.0, 0.3}};
  ToneSession session(test::listening(48000.0));
  session.process(wowing(3000.0, wow, 14.0, 48000.0, 0.7));
  std::vector<TraceRange> trace(RangeTrace::kBins);
  trace.resize(session.weighted_trace(0, trace));
  ASSERT_GT(trace.size(), 200u);
  int checked = 0;
  for (const TraceRange& range : trace) {
    if (!range.any || range.time_s < 7.0 || range.time_s > 12.0) continue;
    double lowest = 1.0, highest = -1.0;
    for (double t = range.time_s - 0.025; t <= range.time_s + 0.025; t += 0.001) {
      const double deviation = 0.3 * std::sin(kTwoPi * 4.0 * t);  // of the cycles above
      lowest = std::min(lowest, deviation);
      highest = std::max(highest, deviation);
    }
    EXPECT_NEAR(static_cast<double>(range.lowest_percent), lowest, 0.3 * std::sin(9.0 / 360.0 * kTwoPi))
        << range.time_s;
    EXPECT_NEAR(static_cast<double>(range.highest_percent), highest, 0.3 * std::sin(9.0 / 360.0 * kTwoPi))
        << range.time_s;
    ++checked;
  }
  EXPECT_GT(checked, 80);
}

}  // namespace
}  // namespace four76
