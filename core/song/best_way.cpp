#include "core/song/best_way.hpp"

#include <algorithm>

namespace four76 {

Way best_way(std::span<const float> scores, std::size_t columns, std::size_t lanes, const WayCosts& costs) {
  Way way;
  if (columns == 0 || lanes == 0 || scores.size() < columns) return way;
  const std::size_t rows = scores.size() / columns;
  const std::size_t lane = columns / lanes;
  std::vector<float> price;
  for (std::size_t move = 0; move <= costs.most_columns; ++move) {
    const double share = static_cast<double>(move) / costs.wander_columns;
    price.push_back(static_cast<float>(0.5 * share * share));
  }
  std::vector<float> sums(scores.begin(), scores.begin() + static_cast<std::ptrdiff_t>(columns));
  std::vector<float> next(columns);
  std::vector<std::uint32_t> from(rows * columns);
  for (std::size_t row = 1; row < rows; ++row) {
    const auto top = static_cast<std::size_t>(std::max_element(sums.begin(), sums.end()) - sums.begin());
    const float jumped = sums[top] - static_cast<float>(costs.jump);
    for (std::size_t column = 0; column < columns; ++column) {
      const std::size_t start = column / lane * lane;
      const std::size_t low = column - std::min(column - start, costs.most_columns);
      const std::size_t high = std::min(column + costs.most_columns, start + lane - 1);
      float best = jumped;
      std::size_t best_from = top;
      for (std::size_t k = low; k <= high; ++k) {
        const float sum = sums[k] - price[k < column ? column - k : k - column];
        if (sum > best) best = sum, best_from = k;
      }
      next[column] = best + scores[row * columns + column];
      from[row * columns + column] = static_cast<std::uint32_t>(best_from);
    }
    std::swap(sums, next);
  }
  auto at = static_cast<std::uint32_t>(std::max_element(sums.begin(), sums.end()) - sums.begin());
  way.score = sums[at];
  way.columns.assign(rows, 0);
  for (std::size_t row = rows; row-- > 0;) {
    way.columns[row] = at;
    at = from[row * columns + at];
  }
  return way;
}

}  // namespace four76
