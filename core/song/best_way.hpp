// BestWay: the way through a picture, one column a row, that gathers most.
//
// Viterbi's algorithm (1967). From row to row the way moves by few columns, at a cost that grows with the square of the
// move, or jumps anywhere at a fixed price. Nothing is decided before all rows are seen: a stretch whose own best
// column is ambiguous is settled by its neighbours.
//
// A way may lean: be expected to move by so many columns a row, and to pay for what it moves otherwise. Where a note is
// as good at every period of its pitch, a way of the wrong lean slips from note to note and loses little height; at the
// right one it need not slip, and gathers most.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace four76 {

inline constexpr int kMostSpeed = 4;  // a score's speed, to either side

struct WayCosts {
  double wander_columns = 6.0;  // a move of so many columns costs a half
  std::size_t most_columns = 12;
  double jump = 10.0;
  double lean_columns = 0.0;  // the move that costs nothing
  // Of each score the speed it was seen at, at most kMostSpeed to either side; where there are any, the mean of two
  // rows' moves the way for nothing.
  std::span<const std::int8_t> speeds = {};
  double speed_columns = 0.0;  // so far a row
};

struct Way {
  double score = 0.0;
  std::vector<std::uint32_t> columns;  // one a row
};

// `scores` holds rows of `columns` numbers, row after row; columns fall into `lanes` of equal width, and a move stays
// in its lane. No rows, no way.
Way best_way(std::span<const float> scores, std::size_t columns, std::size_t lanes, const WayCosts& costs);

struct Lean {
  double score = 0.0;
  double columns = 0.0;  // a row
};

// The lean, from -most to +most in steps, at which the best way gathers most. It is looked for in a picture whose
// columns are drawn together by `kLeanMerged`, each as high as its highest: a ninth of the work.
Lean best_lean(std::span<const float> scores, std::size_t columns, std::size_t lanes, const WayCosts& costs,
               double most, double step);
inline constexpr std::size_t kLeanMerged = 3;

}  // namespace four76
