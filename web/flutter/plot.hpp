// flutter_plot: how strong the speed deviation is at each rate, both axes logarithmic, with its peaks marked and named.
#pragma once

#include <string>
#include <vector>

#include "web/draw/paper.hpp"
#include "web/snapshot/picture.hpp"

namespace four76::draw {

// Where things stand on it. Pure arithmetic; what lies outside is brought to the rim.
struct FlutterScale {
  Rect box;
  double lowest_percent = 0.001, highest_percent = 1.0;
  [[nodiscard]] float x(double rate_hz) const noexcept;
  [[nodiscard]] float y(double percent) const noexcept;
};

// A name for each peak, in their order; a peak whose name is empty is marked alone.
void flutter_plot(const Paper& paper, Rect area, const FlutterPicture& picture, const std::vector<std::string>& names);

}  // namespace four76::draw
