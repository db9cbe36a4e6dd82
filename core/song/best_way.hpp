// BestWay: the way through a picture, one column a row, that gathers most.
//
// Viterbi's algorithm (1967). From row to row the way moves by few columns, at a cost that grows with the square of the
// move, or jumps anywhere at a fixed price. Nothing is decided before all rows are seen: a stretch whose own best
// column is ambiguous is settled by its neighbours.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace four76 {

struct WayCosts {
  double wander_columns = 6.0;  // a move of so many columns costs a half
  std::size_t most_columns = 12;
  double jump = 10.0;
};

struct Way {
  double score = 0.0;
  std::vector<std::uint32_t> columns;  // one a row
};

// `scores` holds rows of `columns` numbers, row after row; columns fall into `lanes` of equal width, and a move stays
// in its lane. No rows, no way.
Way best_way(std::span<const float> scores, std::size_t columns, std::size_t lanes, const WayCosts& costs);

}  // namespace four76
