// The promises as figures: each with its limit and whether it holds.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "tests/scenes/run_scenes.hpp"

namespace four76::scenes {

struct Figure {
  std::string name;
  double value = 0.0;
  bool at_least = false;  // else at most
  double limit = 0.0;
  bool limited = true;  // else stated without a limit
  std::string of;       // what it was counted over
  [[nodiscard]] bool holds() const { return !limited || (at_least ? value >= limit : value <= limit); }
};

std::vector<Figure> figures_of(const std::vector<Played>& all);
std::string line_of(const Figure& figure);

struct Row {
  std::string name;
  Score score;
};
std::vector<Row> rows_by_class(const std::vector<Played>& all);  // in the catalogue's order, the last is all

}  // namespace four76::scenes
