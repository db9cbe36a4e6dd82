// Wow and flutter held against the tables of the standards: what is read, and what should be.
#pragma once

#include <array>
#include <string>
#include <vector>

namespace four76::bench {

struct WeightingRow {
  double rate_hz, table_db, read_db;
};

// Unidirectional pulses, one a second, against a 4 Hz sine. IEC 60386:1972: 60 ms is also in the abstract of
// AES6-2008; the rest and all tolerances from memory.
struct PulseRow {
  double pulse_ms, table_percent, tolerance_percent, read_percent;
};

// A 4 Hz wow of known deviation, through a whole session.
struct DeviationRow {
  double sample_rate_hz, two_sigma_percent, rms_percent, quasi_peak_percent;
};
inline constexpr double kKnownPeak_percent = 0.3;
inline constexpr double kTwoSigmaOfSine = 0.9969;  // sin(0.95 pi / 2), derived

struct FlutterTables {
  std::vector<WeightingRow> weighting;
  std::vector<PulseRow> pulses;
  double fall_percent = 0.0;  // between the pulses of 100 ms
  std::vector<DeviationRow> deviations;
};

FlutterTables measure_flutter_tables();
std::string flutter_markdown(const FlutterTables& tables);
std::string flutter_picture(const FlutterTables& tables);

}  // namespace four76::bench
