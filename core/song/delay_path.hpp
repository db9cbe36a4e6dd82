// DelayPath: where in the reference the tape is, point after point; and what is done to such a path as a whole.
#pragma once

#include <vector>

namespace four76 {

struct DelayPoint {
  double tape_s = 0.0;
  double lead_s = 0.0;    // position in the reference less speed * tape_s
  double z = 0.0;         // how far beyond chance tape and reference agree there, over a second
  bool heard = false;     // the tape sounds there
  bool compared = false;  // and the reference as well
  bool held = false;      // the strongest peak of all in reach lies on the track
  int piece = 0;          // grows by one at each edit
  double pitch = 0.0;     // the speed that the partials tell there; 0 where they tell none
  double pitch_sigma = 0.0;
};

struct DelayPath {
  double speed = 1.0;  // that lead_s refers to
  bool inverted = false;
  std::vector<DelayPoint> points;
};

inline constexpr double kDelayStep_s = 0.1;

// The lead at a time, between the points of the same piece; the points are kDelayStep_s apart.
double lead_at(const DelayPath& path, double tape_s, int piece) noexcept;
// Takes the middle slope between points five seconds apart out of the leads, into the speed; the points are twice
// kDelayStep_s apart.
void straighten(DelayPath& path);
// A new piece begins where the lead jumps.
void find_pieces(DelayPath& path);
// One, two, one: keeps what the windows' overlap lets through and calms their scatter.
void smooth(DelayPath& path);
// Twice as many points, up to the end.
void halve_steps(DelayPath& path, double end_s);

}  // namespace four76
