// Wow and flutter held against the tables of the standards: what is read, and what should be.
#pragma once

#include <array>
#include <string>
#include <vector>

namespace four76::bench {

struct WeightingRow {
  double rate_hz, table_db, read_db;
};

// Unidirectional pulses of deviation, one a second, as high as a 4 Hz sine from peak to peak, and what they read of its
// reading. IEC 60386:1972: 60 ms is also in the abstract of AES6-2008; the rest and all tolerances from memory.
struct PulseRow {
  double pulse_ms, table_percent, tolerance_percent;
  double read_percent;   // from a tone on, through a whole session
  double block_percent;  // from the deviation on, through weighting and detector alone
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
  // Between the pulses of 100 ms: from a tone on, and from the deviation on.
  double fall_percent = 0.0, block_fall_percent = 0.0;
  std::vector<DeviationRow> deviations;
};

FlutterTables measure_flutter_tables();
std::string flutter_markdown(const FlutterTables& tables);
std::string flutter_picture(const FlutterTables& tables);

}  // namespace four76::bench
