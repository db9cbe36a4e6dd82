// SongCourse: the tape laid along the reference in stretches of six seconds.
//
// A place for all of the tape at once is a compromise where the tape was cut: a wrong speed makes up for the piece left
// out. Its stretches, laid one by one, say how fast it plays, where it is and where it goes on after an edit.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace four76 {

inline constexpr double kCourseStretch_s = 6.0;
inline constexpr double kCourseHop_s = 3.0;

struct LaidStretch {
  double middle_s = 0.0;   // of tape
  double lead_s = 0.0;     // position in the reference less the speed it was laid at times middle_s
  double agreement = 0.5;  // 0.5 by chance
};

struct SongCourse {
  double slope = 0.0;           // how much faster the tape plays than the stretches were laid at
  std::vector<double> leads_s;  // at that slope: where most stretches are, then up to two more
  double agreement = 0.5;       // of the stretches at the first; the others count as chance
};

// No stretches, no leads.
SongCourse course_through(std::span<const LaidStretch> stretches);

}  // namespace four76
