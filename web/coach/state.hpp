// JobBench: what a repairer does while the machine plays, as the page keeps it: the coach that learns the screw, and
// the long watch over the speed.
#pragma once

#include <optional>
#include <string_view>

#include "core/bench/coach.hpp"
#include "core/bench/speed_watch.hpp"

namespace four76 {

// The demo's trimmer. One turn of the screw is kTrimPercentPerTurn; clockwise is faster.
inline constexpr double kTrimPercentPerTurn = 6.0;
inline constexpr double kTrimLimitPercent = 6.0;
inline constexpr double kTrimFirstPercent = 1.8;  // where the demo's machine stands when it is started
inline constexpr double kTrimNudgePercent = 0.1;  // of the buttons - and +
inline constexpr std::string_view kDemoMachine = "Ondarella Tasca";  // invented

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
  double trim_percent = kTrimFirstPercent;  // of the demo
};

}  // namespace four76
