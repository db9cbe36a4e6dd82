#include "core/song/best_way.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace four76 {
namespace {

// The moves into a row, from `most` below the lean to as many above it. A lean is a straight line of columns
// (Bresenham), so that one between two columns costs no more than another.
struct Moves {
  explicit Moves(const WayCosts& costs) : lean(costs.lean_columns), most(costs.most_columns) {
    for (std::size_t i = 0; i <= 2 * most; ++i) {
      const double share = (static_cast<double>(i) - static_cast<double>(most)) / costs.wander_columns;
      price.push_back(static_cast<float>(0.5 * share * share));
    }
  }
  [[nodiscard]] std::ptrdiff_t first(std::size_t row) const noexcept {
    const auto at = static_cast<double>(row);
    return std::lround(lean * at) - std::lround(lean * (at - 1.0)) - static_cast<std::ptrdiff_t>(most);
  }
  double lean;
  std::size_t most;
  std::vector<float> price;
};

// Where a row's sums come from, and their new values.
struct Step {
  std::span<const float> sums;
  std::span<const float> row;
  std::span<float> next;
  std::span<std::uint32_t> from;  // empty: nobody asks
  std::ptrdiff_t first_move = 0;
  std::ptrdiff_t last_move = 0;  // counted from the first
  double jump = 0.0;
};

// `price(i, k, column)` is that of the i-th move, from column k.
template <class Price>
void take_step(const Step& step, std::size_t lane, Price&& price) {
  const auto top = static_cast<std::size_t>(std::max_element(step.sums.begin(), step.sums.end()) - step.sums.begin());
  const float jumped = step.sums[top] - static_cast<float>(step.jump);
  for (std::size_t start = 0; start < step.sums.size(); start += lane)
    for (std::size_t column = start; column < start + lane; ++column) {
      // A move of m columns comes from column - m.
      const auto in_lane = static_cast<std::ptrdiff_t>(column - start);
      const auto low = std::max<std::ptrdiff_t>(0, in_lane - static_cast<std::ptrdiff_t>(lane) + 1 - step.first_move);
      const auto high = std::min(step.last_move, in_lane - step.first_move);
      float best = jumped;
      std::size_t best_from = top;
      for (std::ptrdiff_t i = low; i <= high; ++i) {
        const auto k = static_cast<std::size_t>(static_cast<std::ptrdiff_t>(column) - step.first_move - i);
        const float sum = step.sums[k] - price(i, k, column);
        if (sum > best) best = sum, best_from = k;
      }
      step.next[column] = best + step.row[column];
      if (!step.from.empty()) step.from[column] = static_cast<std::uint32_t>(best_from);
    }
}

// Goes through all rows; `came_from` holds as many numbers as `scores`, or none. The sums at the last row.
std::vector<float> go_through(std::span<const float> scores, std::size_t columns, std::size_t lane,
                              const WayCosts& costs, std::span<std::uint32_t> came_from) {
  const Moves moves(costs);
  const auto last = static_cast<std::ptrdiff_t>(moves.price.size()) - 1;
  std::array<std::ptrdiff_t, 4 * kMostSpeed + 1> by_speed{};  // of the sum of two
  for (int both = -2 * kMostSpeed; both <= 2 * kMostSpeed; ++both)
    by_speed[static_cast<std::size_t>(both + 2 * kMostSpeed)] = std::lround(0.5 * costs.speed_columns * both);
  std::vector<float> sums(scores.begin(), scores.begin() + static_cast<std::ptrdiff_t>(columns));
  std::vector<float> next(columns);
  for (std::size_t row = 1; (row + 1) * columns <= scores.size(); ++row) {
    const auto from = came_from.empty() ? came_from : came_from.subspan(row * columns, columns);
    const Step step{sums, scores.subspan(row * columns, columns), next, from, moves.first(row), last, costs.jump};
    const auto level = [&](std::ptrdiff_t i, std::size_t, std::size_t) {
      return moves.price[static_cast<std::size_t>(i)];
    };
    const auto with_speeds = [&](std::ptrdiff_t i, std::size_t k, std::size_t column) {
      const int both = costs.speeds[(row - 1) * columns + k] + costs.speeds[row * columns + column];
      const auto free = by_speed[static_cast<std::size_t>(both + 2 * kMostSpeed)];
      return moves.price[static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(i - free, 0, last))];
    };
    if (costs.speeds.empty())
      take_step(step, lane, level);
    else
      take_step(step, lane, with_speeds);
    std::swap(sums, next);
  }
  return sums;
}

struct Merged {
  std::vector<float> scores;
  std::vector<std::int8_t> speeds;
};

// The highest of every few columns, within each lane.
Merged merged(std::span<const float> scores, std::size_t lane, std::span<const std::int8_t> speeds) {
  Merged out;
  for (std::size_t start = 0; start + lane <= scores.size(); start += lane)
    for (std::size_t at = 0; at < lane; at += kLeanMerged) {
      const auto few = scores.subspan(start + at, std::min(kLeanMerged, lane - at));
      const auto top = static_cast<std::size_t>(std::max_element(few.begin(), few.end()) - few.begin());
      out.scores.push_back(few[top]);
      if (!speeds.empty()) out.speeds.push_back(speeds[start + at + top]);
    }
  return out;
}
}  // namespace

Way best_way(std::span<const float> scores, std::size_t columns, std::size_t lanes, const WayCosts& costs) {
  Way way;
  if (columns == 0 || lanes == 0 || scores.size() < columns) return way;
  const std::size_t rows = scores.size() / columns;
  std::vector<std::uint32_t> from(rows * columns);
  const auto sums = go_through(scores, columns, columns / lanes, costs, from);
  auto at = static_cast<std::uint32_t>(std::max_element(sums.begin(), sums.end()) - sums.begin());
  way.score = static_cast<double>(sums[at]);
  way.columns.assign(rows, 0);
  for (std::size_t row = rows; row-- > 0;) {
    way.columns[row] = at;
    at = from[row * columns + at];
  }
  return way;
}

Lean best_lean(std::span<const float> scores, std::size_t columns, std::size_t lanes, const WayCosts& costs,
               double most, double step) {
  Lean best;
  if (columns == 0 || lanes == 0 || scores.size() < columns) return best;
  constexpr auto kMerged = static_cast<double>(kLeanMerged);
  const std::size_t lane = columns / lanes;
  const Merged picture = merged(scores, lane, costs.speeds);
  const std::size_t few = (lane + kLeanMerged - 1) / kLeanMerged;
  WayCosts of_few = costs;
  of_few.wander_columns /= kMerged;
  of_few.speeds = picture.speeds;
  of_few.speed_columns /= kMerged;
  of_few.most_columns = (costs.most_columns + kLeanMerged - 1) / kLeanMerged;
  const auto steps = static_cast<int>(std::lround(most / step));
  for (int i = -steps; i <= steps; ++i) {
    const double lean = step * i;
    of_few.lean_columns = lean / kMerged;
    const auto sums = go_through(picture.scores, few * lanes, few, of_few, {});
    const auto score = static_cast<double>(*std::max_element(sums.begin(), sums.end()));
    if (i == -steps || score > best.score) best = {score, lean};
  }
  return best;
}

}  // namespace four76
