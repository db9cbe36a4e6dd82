// Songs on tapes with a known truth, as a table by kind of piece and as a picture: error against the speed that was
// set.
#pragma once

#include <string>
#include <vector>

#include "tests/scenes/song_pieces.hpp"

namespace four76::bench {

struct SongCase {
  std::string kind;  // "same": must match; else what it is that must not
  scenes::Manner manner = scenes::Manner::chords;
  double set_percent = 0.0;
  bool matched = false;
  double error_percent = 0.0, u95_percent = 0.0;  // of what matched
  std::string rough = {};                         // what else the microphone heard; empty where nothing
};

// What is promised of a song, percent; drawn as lines.
inline constexpr double kSongWorstPercent = 0.02, kSongMedianPercent = 0.003;

// Of the intervals that hold 95 % of normal errors the root mean square of error over u95 is 1 / 1.96 = 0.51. Below the
// first one they are too wide, above the second one too narrow.
inline constexpr double kSongLeastRatio = 0.35, kSongMostRatio = 0.65;
// The root mean square of error over u95, of what matched; 0 where nothing did.
double rms_of_u95(const std::vector<SongCase>& cases);

std::string song_table(const std::vector<SongCase>& cases);
std::string song_picture(const std::vector<SongCase>& cases, bool limit);

}  // namespace four76::bench
