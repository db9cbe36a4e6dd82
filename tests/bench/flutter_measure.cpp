// What the instrument reads: the weighting and known deviations from the sound on, through a whole session; the pulses
// at the detector's own input, behind the weighting, for that is where the standard gives them.
#include <algorithm>
#include <cmath>
#include <optional>

#include "core/flutter/quasi_peak.hpp"
#include "core/tone/tone_session.hpp"
#include "tests/bench/flutter_tables.hpp"
#include "tests/unit/core/flutter_signals.hpp"
#include "tests/unit/core/session_runs.hpp"

namespace four76::bench {

namespace {

constexpr double kTone_hz = 3150.0;  // IEC 60386, AES6-2008

FlutterReading hear(double rate_hz, double peak_percent, double seconds, double sample_rate_hz) {
  const test::SineWow cycles{.mean_hz = kTone_hz, .peak = peak_percent / 100.0, .rate_hz = rate_hz};
  ToneSession session(test::listening(sample_rate_hz, kTone_hz));
  session.process(test::sound_of(cycles, seconds, sample_rate_hz, 0.1));
  return session.whole_flutter(0);
}

// NaN where nothing was read: a table must not hide that.
double figure(const std::optional<FlutterFigure>& read) {
  return read && read->percent ? *read->percent : std::nan("");
}

double weighting_db(double rate_hz) {
  constexpr double kPeak_percent = 0.5, kSampleRate_hz = 16000.0;
  const double seconds = std::max(20.0, 40.0 / rate_hz);  // the start is in the figure: make it small
  const double rms = figure(hear(rate_hz, kPeak_percent, seconds, kSampleRate_hz).weighted_rms);
  return 20.0 * std::log10(rms * std::sqrt(2.0) / kPeak_percent);
}

constexpr double kPointRate_hz = 1000.0;

double reading_of_sine() {
  QuasiPeak detector({kPointRate_hz});
  double most = 0.0;
  for (double n = 0.0; n < 10.0 * kPointRate_hz; n += 1.0)
    most = std::max(most, detector.process(std::sin(test::kTwoPi * 4.0 * n / kPointRate_hz)));
  return most;
}

struct PulseReading {
  double most = 0.0, least = 1e9;
};
// Pulses one a second, after ten that settle the detector.
PulseReading reading_of_pulses(double pulse_ms) {
  QuasiPeak detector({kPointRate_hz});
  PulseReading seen;
  for (int n = 0; n < 15000; ++n) {
    const double reading = detector.process(n % 1000 < pulse_ms ? 1.0 : 0.0);
    if (n < 10000) continue;
    seen.most = std::max(seen.most, reading);
    seen.least = std::min(seen.least, reading);
  }
  return seen;
}

}  // namespace

FlutterTables measure_flutter_tables() {
  FlutterTables tables;
  for (const auto& [rate_hz, table_db] : test::kWeightingTable)
    tables.weighting.push_back({rate_hz, table_db, weighting_db(rate_hz)});
  const double sine = reading_of_sine();
  for (const PulseRow& row : {PulseRow{10.0, 21.0, 3.0, 0.0}, PulseRow{30.0, 62.0, 6.0, 0.0},
                              PulseRow{60.0, 90.0, 6.0, 0.0}, PulseRow{100.0, 100.0, 4.0, 0.0}}) {
    const PulseReading read = reading_of_pulses(row.pulse_ms);
    tables.pulses.push_back({row.pulse_ms, row.table_percent, row.tolerance_percent, 100.0 * read.most / sine});
    tables.fall_percent = 100.0 * read.least / read.most;
  }
  for (const double sample_rate_hz : {8000.0, 16000.0, 44100.0, 48000.0, 96000.0, 192000.0}) {
    const FlutterReading read = hear(4.0, kKnownPeak_percent, 15.0, sample_rate_hz);
    tables.deviations.push_back(
        {sample_rate_hz, figure(read.weighted_two_sigma), figure(read.weighted_rms), figure(read.weighted_quasi_peak)});
  }
  return tables;
}

}  // namespace four76::bench
