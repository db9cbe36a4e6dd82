// `four76 measure FILE`: how fast the machine ran that played a tone into this file.
#pragma once

#include <iosfwd>
#include <optional>
#include <string>

#include "core/flutter/known_parts.hpp"

namespace four76::cli {

struct MeasureOptions {
  std::string file;
  double tone_hz = 3000.0;
  std::optional<double> clock_ppm;  // how fast the recorder's sample clock ran
  std::optional<std::string> trace_file;
  double tolerance_percent = 0.5;  // common practice: service check
  KnownParts known;                // of the machine, for the causes
  bool json = false;
};

// Results go to `out`, complaints to `err`; returns the exit status.
int run_measure(const MeasureOptions& options, std::ostream& out, std::ostream& err);

}  // namespace four76::cli
