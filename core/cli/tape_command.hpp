// `four76 tape FILE...`: what music tapes tell of a machine by themselves, without a speed tape and without the song.
#pragma once

#include <iosfwd>
#include <string>
#include <vector>

#include "core/tapes/speed_posterior.hpp"

namespace four76::cli {

struct TapeOptions {
  std::vector<std::string> files;
  TuningPrior tuning;
  SoundsLike sounds_like = SoundsLike::not_said;
  double tolerance_percent = 0.5;
  bool json = false;
};

// Output goes to `out`, complaints to `err`; returns the exit status.
int run_tape(const TapeOptions& options, std::ostream& out, std::ostream& err);

}  // namespace four76::cli
