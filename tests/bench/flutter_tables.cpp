// Wow and flutter against the tables of IEC 60386 and AES6: the weighting curve, the quasi-peak meter's pulses, known
// deviations. Exit status 1 where a figure leaves the standard's tolerance.
//   four76_flutter_tables [--table FILE] [--svg FILE]
// Promised, or the status is 1: the weighting within 0.3 dB of the table from 0.315 Hz up (below, the start of the
// listening is still heard), every pulse and the fall within the table's tolerance, known deviations within 1 %.
#include "tests/bench/flutter_tables.hpp"

#include <cmath>
#include <cstdio>

#include "tests/bench/promises.hpp"
#include "tests/bench/proof_files.hpp"

namespace four76::bench {
namespace {

constexpr double kFallPercent = 40.0, kFallTolerancePercent = 4.0;  // of the table, as on the page

Promises promises_of(const FlutterTables& tables) {
  std::vector<double> weighting, pulses, deviations;
  for (const auto& [rate_hz, table_db, read_db] : tables.weighting)
    if (rate_hz > 0.3) weighting.push_back(read_db - table_db);
  for (const PulseRow& row : tables.pulses)
    for (const double read : {row.read_percent, row.block_percent})
      pulses.push_back((read - row.table_percent) / row.tolerance_percent);
  for (const DeviationRow& row : tables.deviations)
    for (const double ratio :
         {row.two_sigma_percent / (kTwoSigmaOfSine * kKnownPeak_percent),
          row.rms_percent / (kKnownPeak_percent / std::sqrt(2.0)), row.quasi_peak_percent / kKnownPeak_percent})
      deviations.push_back(100.0 * (ratio - 1.0));
  return {all_between("weighting off the table, from 0.315 Hz up", weighting, -0.3, 0.3, {2, " dB"}),
          all_between("pulses off the table, of its tolerance", pulses, -1.0, 1.0, {2, ""}),
          between("fall between pulses of 100 ms", tables.fall_percent, kFallPercent - kFallTolerancePercent,
                  kFallPercent + kFallTolerancePercent, {1, " %"}),
          all_between("known deviations off", deviations, -1.0, 1.0, {2, " %"})};
}

}  // namespace
}  // namespace four76::bench

int main(int argc, char** argv) {
  using namespace four76::bench;
  return run_for_proof(
      "four76_flutter_tables", argc, argv, [](const std::vector<std::string>&, const ProofFiles& files) {
        const FlutterTables tables = measure_flutter_tables();
        std::printf("%s", flutter_markdown(tables).c_str());
        return files.write(
            promises_of(tables), [&] { return flutter_markdown(tables); }, [&] { return flutter_picture(tables); });
      });
}
