// What was found about a song on a tape, as JSON and for people to read.
#pragma once

#include <string>

#include "core/song/song_match.hpp"

namespace four76::cli {

struct SongMeasurement {
  std::string reference, tape;
  int reference_rate_hz = 0, tape_rate_hz = 0;
  double reference_s = 0.0, tape_s = 0.0;
  double used_s = 0.0;                                 // of the tape
  double tolerance_percent = kUsualTolerance_percent;  // that the match was held against
  SongMatch match;
  // Whether the fit is the tape's speed, perhaps a doubtful one, and not that of a chance likeness.
  [[nodiscard]] bool has_speed() const;
};

std::string to_json(const SongMeasurement& found);
std::string summary_of(const SongMeasurement& found);
// In one line, for a tape that did not match.
std::string why_not_matched(const SongMeasurement& found);

}  // namespace four76::cli
