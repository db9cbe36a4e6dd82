// ProofFiles: where a benchmark leaves its part of the proof page, asked for by "--svg FILE" and "--table FILE" among
// its words. Without them it only prints.
#pragma once

#include <cstdio>
#include <exception>
#include <fstream>
#include <functional>
#include <stdexcept>
#include <string>
#include <vector>

#include "tests/bench/promises.hpp"
#include "tests/scenes/options.hpp"

namespace four76::bench {

inline void write_file(const std::string& path, const std::string& text) {
  std::ofstream file(path);
  file << text;
  if (!file.flush()) throw std::runtime_error(path + " could not be written");
}

struct ProofFiles {
  std::string svg, table;

  // Takes its own words out of them.
  static ProofFiles of(std::vector<std::string>& words) {
    return {.svg = scenes::take(words, "--svg"), .table = scenes::take(words, "--table")};
  }
  // Draws only what is asked for: some pictures cost a listening.
  void write(const std::function<std::string()>& the_table, const std::function<std::string()>& the_picture) const {
    if (!table.empty()) write_file(table, the_table());
    if (!svg.empty()) write_file(svg, the_picture());
  }
  // The same with the promises below the table. They decide the status, which is returned.
  [[nodiscard]] int write(const Promises& promises, const std::function<std::string()>& the_table,
                          const std::function<std::string()>& the_picture) const {
    write([&] { return the_table() + "\n" + table_of(promises); }, the_picture);
    return judge(promises);
  }
};

// The body of a benchmark's main: its words, without those for its files, and where these lie. What it throws is said
// on standard error, and its status is 2.
template <typename Program>
int run_for_proof(const char* name, int argc, char** argv, Program&& program) {
  try {
    std::vector<std::string> words(argv + 1, argv + argc);
    const ProofFiles files = ProofFiles::of(words);
    return program(words, files);
  } catch (const std::exception& fault) {
    std::fprintf(stderr, "%s: %s\n", name, fault.what());
    return 2;
  }
}

}  // namespace four76::bench
