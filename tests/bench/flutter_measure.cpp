// What the instrument reads: weighting, pulses and known deviations from the sound on, through a whole session; the
// pulses also as deviations at the weighting's input. The detector's fall is no figure of a session, so the tone goes
// through the session's blocks one by one there.
#include <algorithm>
#include <cmath>
#include <functional>
#include <optional>
#include <vector>

#include "core/flutter/deviation_filter.hpp"
#include "core/flutter/quasi_peak.hpp"
#include "core/tone/tone_session.hpp"
#include "tests/bench/flutter_tables.hpp"
#include "tests/unit/core/flutter_signals.hpp"
#include "tests/unit/core/session_runs.hpp"

namespace four76::bench {

namespace {

constexpr double kTone_hz = 3150.0;  // IEC 60386, AES6-2008

template <typename Cycles>
FlutterReading hear(const Cycles& cycles, double seconds, double sample_rate_hz) {
  ToneSession session(test::listening(sample_rate_hz, kTone_hz));
  session.process(test::sound_of(cycles, seconds, sample_rate_hz, 0.1));
  return session.whole_flutter(0);
}

test::SineWow wow(double rate_hz, double peak_percent) {
  return {.mean_hz = kTone_hz, .peak = peak_percent / 100.0, .rate_hz = rate_hz};
}

// NaN where nothing was read: a table must not hide that.
double figure(const std::optional<FlutterFigure>& read) {
  return read && read->percent ? *read->percent : std::nan("");
}

double weighting_db(double rate_hz) {
  constexpr double kPeak_percent = 0.5, kSampleRate_hz = 16000.0;
  const double seconds = std::max(20.0, 40.0 / rate_hz);  // the start is in the figure: make it small
  const double rms = figure(hear(wow(rate_hz, kPeak_percent), seconds, kSampleRate_hz).weighted_rms);
  return 20.0 * std::log10(rms * std::sqrt(2.0) / kPeak_percent);
}

constexpr double kPulseSampleRate_hz = 48000.0, kPulsePeak = 0.0005, kSeconds = 15.0;

double quasi_peak_of_tone(const auto& cycles) {
  return figure(hear(cycles, kSeconds, kPulseSampleRate_hz).weighted_quasi_peak);
}

struct Swing {
  double most = 0.0, least = 1e9;
};
// What the detector shows once ten seconds have settled it.
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

Swing swing_of_deviation(const std::function<double(double)>& deviation) {
  constexpr double kPointRate_hz = 1000.0;
  return swing_of(test::points_of(deviation, kSeconds, kPointRate_hz), kPointRate_hz, false);
}

Swing swing_of_pulses(double pulse_s) {
  return swing_of_deviation([=](double t) { return t - std::floor(t + 1e-9) < pulse_s - 1e-9 ? 2.0 : 0.0; });
}

double fall_percent(const Swing& swing) { return 100.0 * swing.least / swing.most; }

void measure_pulses(FlutterTables& tables) {
  const double tone_sine = quasi_peak_of_tone(wow(4.0, 100.0 * kPulsePeak));
  const double block_sine = swing_of_deviation(test::sine(4.0, 1.0)).most;
  for (const auto& [pulse_s, percent, tolerance] : test::kPulseTable) {
    const test::PulsedTone cycles{kTone_hz, 2.0 * kPulsePeak, pulse_s};
    tables.pulses.push_back({1000.0 * pulse_s, percent, tolerance, 100.0 * quasi_peak_of_tone(cycles) / tone_sine,
                             100.0 * swing_of_pulses(pulse_s).most / block_sine});
  }
  const auto sound =
      test::sound_of(test::PulsedTone{kTone_hz, 2.0 * kPulsePeak, 0.1}, kSeconds, kPulseSampleRate_hz, 0.1);
  const auto track = test::deviation_points(sound, kPulseSampleRate_hz, kTone_hz, kTone_hz);
  tables.fall_percent = fall_percent(swing_of(track.points, track.rate_hz, true));
  tables.block_fall_percent = fall_percent(swing_of_pulses(0.1));
}

}  // namespace

FlutterTables measure_flutter_tables() {
  FlutterTables tables;
  for (const auto& [rate_hz, table_db] : test::kWeightingTable)
    tables.weighting.push_back({rate_hz, table_db, weighting_db(rate_hz)});
  measure_pulses(tables);
  for (const double sample_rate_hz : {8000.0, 16000.0, 44100.0, 48000.0, 96000.0, 192000.0}) {
    const FlutterReading read = hear(wow(4.0, kKnownPeak_percent), 15.0, sample_rate_hz);
    tables.deviations.push_back(
        {sample_rate_hz, figure(read.weighted_two_sigma), figure(read.weighted_rms), figure(read.weighted_quasi_peak)});
  }
  return tables;
}

}  // namespace four76::bench
