// JobBench: what a repairer does while the machine plays, as the page keeps it: the coach that learns the screw.
#pragma once

#include "core/bench/coach.hpp"

namespace four76 {

struct JobBench {
  Coach coach{Coach::Config{}};
  double coached_s = 0.0;  // up to where the dial's trail was given to the coach
  int coached_channel = 0;
};

}  // namespace four76
