// CoachText: the coach's advice in words: one line to be read from afar, one that says why.
#pragma once

#include <string>

#include "core/bench/coach.hpp"

namespace four76 {

struct CoachWords {
  std::string large;   // "About half as much, the other way"
  std::string detail;  // "That turn gave +0.31 %. It runs 0.46 % fast."
};
[[nodiscard]] CoachWords coach_text(const Advice& advice);

// "About half as much", "About as much again": at the head of a line.
[[nodiscard]] std::string times_text(double times);
// "+0.31 %", with a true minus.
[[nodiscard]] std::string signed_percent_text(double percent);

}  // namespace four76
