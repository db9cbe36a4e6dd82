// TapesText: what tapes of music told of a machine, in words, with no more digits than are known.
#pragma once

#include <span>
#include <string>

#include "core/bench/visit.hpp"

namespace four76 {

// A figure and its ± to two significant digits of the latter: "+0.42", "±0.31".
struct TapeFigure {
  std::string number, plus_minus;
};
[[nodiscard]] TapeFigure tape_figure(double percent, double u95_percent);

// "By 6 tapes: +1.20 ±0.40 % (as most music is tuned)".
[[nodiscard]] std::string tapes_text(const TapesEvidence& evidence);
// The newest of it, and whether what was measured last agrees; empty where no tapes told anything. In the order of
// time.
[[nodiscard]] std::string newest_tapes_text(std::span<const Measurement> visits);

}  // namespace four76
