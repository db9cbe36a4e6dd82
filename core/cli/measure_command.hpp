// `four76 measure FILE`: how fast the machine ran that played a tone into this file.
#pragma once

#include <iosfwd>
#include <optional>
#include <string>

#include "core/flutter/known_parts.hpp"
#include "core/records/error_budget.hpp"

namespace four76::cli {

struct MeasureOptions {
  std::string file;
  double tone_hz = 3000.0;
  bool tone_is_sure = false;                     // the tape carries that tone, however far off it plays
  std::optional<double> near_hz = std::nullopt;  // of two steady tones the tape's is the one nearer to this
  std::optional<double> clock_ppm;               // how fast the recorder's sample clock ran
  // What the clock may still be off by, and the tape's own tone; of the tape nothing where it is not stated.
  double clock_u95_ppm = kUncheckedClock_ppm;
  std::optional<double> tape_u95_percent;
  std::optional<std::string> trace_file;
  double tolerance_percent = 0.5;  // common practice: service check
  KnownParts known;                // of the machine, for the causes
  bool json = false;
};

// Results go to `out`, complaints to `err`; returns the exit status.
int run_measure(const MeasureOptions& options, std::ostream& out, std::ostream& err);

}  // namespace four76::cli
