// JobBench: what a repairer does while the machine plays, as the page keeps it: the coach that learns the screw, and
// the long watch over the speed.
#pragma once

#include <optional>

#include "core/bench/coach.hpp"
#include "core/bench/speed_watch.hpp"

namespace four76 {

struct JobBench {
  Coach coach{Coach::Config{}};
  std::optional<bool> own_screw;  // of the machine at hand, while the demo's is turned: clockwise is faster
  double coached_s = 0.0;         // up to where the dial's trail was given to the coach
  int coached_channel = 0;
  bool coach_shown = false;  // unfolded under the dial
  // Told while the speed was on the move: the coach hears of it when the turn that is meant has settled.
  struct Told {
    TurnWay way = TurnWay::unsaid;
    std::optional<double> turns;
  };
  std::optional<Told> told;
  SpeedWatch watch;        // of what runs, since it began; a measurement in between does not end it
  double watched_s = 0.0;  // up to where the dial's trail was given to it
  bool watch_shown = false;
};

}  // namespace four76
