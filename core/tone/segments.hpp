// Segments: a row of knots taken apart where the phase does not carry on.
#pragma once

#include <cstddef>
#include <span>

#include "core/tone/phase_knot.hpp"

namespace four76 {

// Calls f(first, last) for each run of knots that share a segment, void ones among them; `last` lies behind it.
template <typename F>
void for_each_segment(std::span<const PhaseKnot> knots, F&& f) {
  std::size_t first = 0;
  while (first < knots.size()) {
    std::size_t last = first + 1;
    while (last < knots.size() && knots[last].segment == knots[first].segment) ++last;
    f(first, last);
    first = last;
  }
}

}  // namespace four76
