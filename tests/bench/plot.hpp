// Plot: a pair of axes with their units on the page's dark ground, and what is drawn between them. All pictures of the
// proof are made of it, so that they look alike; each brings its own ground, and so can be read on a light page too.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tests/bench/svg_writer.hpp"

namespace four76::bench {

using Points = std::vector<std::pair<double, double>>;

// A ground with a title and a line beneath it; the description is for who cannot see the picture.
SvgWriter picture(double width, double height, std::string_view title, std::string_view line,
                  std::string_view description);

// As few decimals as tell it, and no exponent: an axis's and a table's way of writing.
std::string decimal(double value);
std::string decimal(double value, int decimals);

// Colours are classes: "own" is Four76's, "other" what it is held against, "wrong" what went wrong, "dim" the rest;
// c0 to c6 tell kinds apart, each with a mark of its own besides, for colour alone tells nobody anything.
enum class Mark { circle, square, triangle, diamond, cross };
Mark mark_of(std::size_t place);
std::string colour_of(std::size_t place);
void draw_mark(SvgWriter& svg, Mark mark, double x, double y, std::string_view colour);

struct Axis {
  std::string label;  // with its unit
  double from = 0.0, to = 1.0;
  std::vector<double> ticks = {};
  bool logarithmic = false;
};

struct Frame {
  double left, top, width, height;
};

class Plot {
 public:
  Plot(SvgWriter& svg, const Frame& frame, Axis x, Axis y);  // draws frame, grid and words

  // What lies outside the axes is drawn at their end.
  [[nodiscard]] double x_of(double value) const;
  [[nodiscard]] double y_of(double value) const;
  void curve(const Points& points, std::string_view classes);
  void area(const Points& upper, const Points& lower);
  void mark(Mark mark, double x, double y, std::string_view colour);
  void level(double y, std::string_view words);  // a dashed line across, named at its right end

 private:
  SvgWriter& svg_;
  Frame frame_;
  Axis x_, y_;
};

}  // namespace four76::bench
