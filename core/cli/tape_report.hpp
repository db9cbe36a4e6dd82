// What `four76 tape` prints: the summary for people, the JSON object for programs.
#pragma once

#include <string>
#include <vector>

#include "core/tapes/speed_posterior.hpp"

namespace four76::cli {

struct TapesHeard {
  std::vector<std::string> files;
  std::vector<TapeFindings> findings;  // of each file
  TuningPrior tuning;
  double tolerance_percent = 0.5;
  SoundsLike sounds_like = SoundsLike::not_said;
  SpeedAnswer answer;
};

std::string to_json(const TapesHeard& heard);
std::string summary_of(const TapesHeard& heard);

}  // namespace four76::cli
