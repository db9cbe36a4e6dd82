#include <algorithm>
#include <cmath>

#include "tests/bench/flutter_tables.hpp"
#include "tests/bench/markdown_table.hpp"
#include "tests/bench/plot.hpp"

namespace four76::bench {

std::string flutter_markdown(const FlutterTables& tables) {
  MarkdownTable weighting({"rate, Hz", "table, dB", "read, dB", "difference, dB"});
  for (const auto& [rate_hz, table_db, read_db] : tables.weighting)
    weighting.row({decimal(rate_hz), decimal(table_db, 1), decimal(read_db, 2), decimal(read_db - table_db, 2)});

  MarkdownTable pulses({"pulses of", "table", "read from a tone on", "weighting and detector alone"});
  for (const auto& [pulse_ms, table, tolerance, read, block] : tables.pulses)
    pulses.row({decimal(pulse_ms) + " ms", decimal(table) + " ± " + decimal(tolerance) + " %", decimal(read, 1) + " %",
                decimal(block, 1) + " %"});
  pulses.row({"100 ms, fallen between two to", "40 ± 4 %", decimal(tables.fall_percent, 1) + " %",
              decimal(tables.block_fall_percent, 1) + " %"});

  MarkdownTable deviations({"sample rate, Hz", "two-sigma, %", "RMS, %", "quasi-peak, %"});
  deviations.row({"expected", decimal(kTwoSigmaOfSine * kKnownPeak_percent, 4),
                  decimal(kKnownPeak_percent / std::sqrt(2.0), 4), decimal(kKnownPeak_percent, 4)});
  for (const auto& [rate_hz, two_sigma, rms, quasi_peak] : tables.deviations)
    deviations.row({decimal(rate_hz), decimal(two_sigma, 4), decimal(rms, 4), decimal(quasi_peak, 4)});

  return weighting.text() + "\n" + pulses.text() + "\nA 4 Hz wow of " + decimal(kKnownPeak_percent) +
         " % peak on a 3150 Hz tone:\n\n" + deviations.text();
}

}  // namespace four76::bench
