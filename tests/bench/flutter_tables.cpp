// Wow and flutter against the tables of IEC 60386 and AES6: the weighting curve, the detector's pulses, known
// deviations.
//   four76_flutter_tables [--table FILE] [--svg FILE]
#include "tests/bench/flutter_tables.hpp"

#include <cstdio>
#include <exception>

#include "tests/bench/proof_files.hpp"

int main(int argc, char** argv) try {
  using namespace four76::bench;
  std::vector<std::string> words(argv + 1, argv + argc);
  const ProofFiles files = ProofFiles::of(words);
  const FlutterTables tables = measure_flutter_tables();
  std::printf("%s", flutter_markdown(tables).c_str());
  files.write([&] { return flutter_markdown(tables); }, [&] { return flutter_picture(tables); });
  return 0;
} catch (const std::exception& fault) {
  std::fprintf(stderr, "four76_flutter_tables: %s\n", fault.what());
  return 2;
}
