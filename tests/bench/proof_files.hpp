// ProofFiles: where a benchmark leaves its part of the proof page, asked for by "--svg FILE" and "--table FILE" among
// its words. Without them it only prints.
#pragma once

#include <fstream>
#include <functional>
#include <stdexcept>
#include <string>
#include <vector>

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
};

}  // namespace four76::bench
