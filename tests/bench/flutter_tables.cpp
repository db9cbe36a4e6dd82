// Wow and flutter against the tables of IEC 60386 and AES6: the weighting curve, the detector's pulses, known
// deviations.
//   four76_flutter_tables [--table FILE] [--svg FILE]
#include "tests/bench/flutter_tables.hpp"

#include <cstdio>

#include "tests/bench/proof_files.hpp"

int main(int argc, char** argv) {
  using namespace four76::bench;
  return run_for_proof("four76_flutter_tables", argc, argv,
                       [](const std::vector<std::string>&, const ProofFiles& files) {
                         const FlutterTables tables = measure_flutter_tables();
                         std::printf("%s", flutter_markdown(tables).c_str());
                         files.write([&] { return flutter_markdown(tables); }, [&] { return flutter_picture(tables); });
                         return 0;
                       });
}
