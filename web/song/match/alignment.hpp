// Alignment: the delay track of a tape against its song, as a picture: how far the tape runs ahead, over its own time.
//
//   ahead(t) = place in the song(t) - place where it began - t
//
// is a straight line through 0 for a steady machine; its slope is the speed error. What a cut leaves out is taken off,
// so that the line goes on behind it.
#pragma once

#include <vector>

#include "web/song/match/result.hpp"

namespace four76 {

struct AlignmentPoint {
  double tape_s = 0.0, ahead_s = 0.0;
  double confidence = 0.0;  // 0 to 1: how far beyond chance
  bool heard = false, held = false;
};

struct AlignmentPicture {
  std::vector<AlignmentPoint> points;  // ahead_s means something only where held
  std::vector<double> cuts_s;          // of tape time
  double tape_s = 0.0;
  double slope = 0.0;       // of the straight line: its speed less 1
  bool has_line = false;    // false where no speed may be shown
  double farthest_s = 0.0;  // of held points and the line, in size
};

[[nodiscard]] AlignmentPicture alignment_of(const SongResult& result);

}  // namespace four76
