#include "tests/bench/plot.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace four76::bench {

namespace {

// Ground, edge and text are those of shell/theme.css; every other colour has 5:1 or more on that ground.
constexpr std::string_view kCss =
    "svg { font-family: B612, system-ui, sans-serif; font-size: 14px }\n"
    "text { fill: #f1e7d3 }\n"
    ".title { font-size: 19px; font-weight: 700 }\n"
    ".small { font-size: 12.5px; fill: #b5a88f }\n"
    ".ground { fill: #17130f }\n"
    ".axis { stroke: #b5a88f; fill: none }\n"
    ".grid { stroke: #453a2d }\n"
    ".area { fill: #b5a88f; fill-opacity: 0.22 }\n"
    ".curve { fill: none; stroke: currentColor; stroke-width: 1.8 }\n"
    ".thick { stroke-width: 3.2 } .thin { stroke-width: 1.2 } .dashed { stroke-dasharray: 6 5 }\n"
    ".mark, .bar { fill: currentColor } .cross { stroke: currentColor; stroke-width: 2; fill: none }\n"
    ".own, .c0 { color: #e8a33d } .other, .c1 { color: #7fb8e6 } .c2 { color: #93c47d } .c3 { color: #d3a4e8 }\n"
    ".c4 { color: #5fc2b4 } .c5 { color: #e8d05a } .c6 { color: #f1e7d3 } .wrong { color: #e0674c }\n"
    ".dim { color: #b5a88f }\n";

double share_of(const Axis& axis, double value) {
  const double inside = std::clamp(value, std::min(axis.from, axis.to), std::max(axis.from, axis.to));
  return axis.logarithmic ? std::log(inside / axis.from) / std::log(axis.to / axis.from)
                          : (inside - axis.from) / (axis.to - axis.from);
}

std::string corners(const Points& points) {
  std::string text;
  for (const auto& [x, y] : points) text.append(number(x)).append(1, ',').append(number(y)).append(1, ' ');
  if (!text.empty()) text.pop_back();
  return text;
}

}  // namespace

SvgWriter picture(double width, double height, std::string_view title, std::string_view line,
                  std::string_view description) {
  SvgWriter svg(width, height, title, description);
  svg.style(kCss);
  svg.empty("rect", {{"class", "ground"}, {"width", width}, {"height", height}, {"rx", 6.0}});
  svg.text(24.0, 34.0, title, {{"class", "title"}});
  svg.text(24.0, 56.0, line, {{"class", "small"}});
  return svg;
}

std::string decimal(double value, int decimals) {
  char text[64];
  std::snprintf(text, sizeof text, "%.*f", decimals, value);
  return text;
}

std::string decimal(double value) {
  std::string text = decimal(value, 7);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.ends_with('.')) text.pop_back();
  return text;
}

Mark mark_of(std::size_t place) { return static_cast<Mark>(place % 4); }
std::string colour_of(std::size_t place) {
  return std::string("c").append(std::to_string(std::min<std::size_t>(6, place)));
}

void draw_mark(SvgWriter& svg, Mark mark, double x, double y, std::string_view colour) {
  constexpr double kHalf = 3.6, kPoint = 4.8;
  const std::string filled = std::string("mark ").append(colour);
  switch (mark) {
    case Mark::circle: svg.empty("circle", {{"class", filled}, {"cx", x}, {"cy", y}, {"r", kHalf}}); return;
    case Mark::square:
      svg.empty(
          "rect",
          {{"class", filled}, {"x", x - kHalf}, {"y", y - kHalf}, {"width", 2.0 * kHalf}, {"height", 2.0 * kHalf}});
      return;
    case Mark::triangle:
      svg.empty("polygon", {{"class", filled},
                            {"points", corners({{x, y - kPoint}, {x + kPoint, y + kHalf}, {x - kPoint, y + kHalf}})}});
      return;
    case Mark::diamond:
      svg.empty("polygon", {{"class", filled},
                            {"points", corners({{x, y - kPoint}, {x + kPoint, y}, {x, y + kPoint}, {x - kPoint, y}})}});
      return;
    case Mark::cross:
      for (const double lean : {kPoint, -kPoint})
        svg.empty("line", {{"class", std::string("cross ").append(colour)},
                           {"x1", x - kPoint},
                           {"y1", y - lean},
                           {"x2", x + kPoint},
                           {"y2", y + lean}});
  }
}

Plot::Plot(SvgWriter& svg, const Frame& frame, Axis x, Axis y)
    : svg_(svg), frame_(frame), x_(std::move(x)), y_(std::move(y)) {
  const double right = frame_.left + frame_.width, bottom = frame_.top + frame_.height;
  for (const double tick : x_.ticks) {
    svg_.empty("line", {{"class", "grid"}, {"x1", x_of(tick)}, {"y1", frame_.top}, {"x2", x_of(tick)}, {"y2", bottom}});
    svg_.text(x_of(tick), bottom + 20.0, decimal(tick), {{"text-anchor", "middle"}});
  }
  for (const double tick : y_.ticks) {
    svg_.empty("line", {{"class", "grid"}, {"x1", frame_.left}, {"y1", y_of(tick)}, {"x2", right}, {"y2", y_of(tick)}});
    svg_.text(frame_.left - 8.0, y_of(tick) + 5.0, decimal(tick), {{"text-anchor", "end"}});
  }
  svg_.empty(
      "rect",
      {{"class", "axis"}, {"x", frame_.left}, {"y", frame_.top}, {"width", frame_.width}, {"height", frame_.height}});
  svg_.text(frame_.left + frame_.width / 2.0, bottom + 42.0, x_.label, {{"text-anchor", "middle"}});
  // The words of the upward axis lie above it: turned ones are hard to read.
  svg_.text(frame_.left, frame_.top - 10.0, y_.label);
}

double Plot::x_of(double value) const { return frame_.left + frame_.width * share_of(x_, value); }
double Plot::y_of(double value) const { return frame_.top + frame_.height * (1.0 - share_of(y_, value)); }

void Plot::curve(const Points& points, std::string_view classes) {
  Points places;
  for (const auto& [x, y] : points) places.emplace_back(x_of(x), y_of(y));
  svg_.empty("polyline", {{"class", std::string("curve ").append(classes)}, {"points", corners(places)}});
}

void Plot::area(const Points& upper, const Points& lower) {
  Points places;
  for (const auto& [x, y] : upper) places.emplace_back(x_of(x), y_of(y));
  for (auto point = lower.rbegin(); point != lower.rend(); ++point)
    places.emplace_back(x_of(point->first), y_of(point->second));
  svg_.empty("polygon", {{"class", "area"}, {"points", corners(places)}});
}

void Plot::mark(Mark mark, double x, double y, std::string_view colour) {
  draw_mark(svg_, mark, x_of(x), y_of(y), colour);
}

void Plot::level(double y, std::string_view words) {
  curve({{x_.from, y}, {x_.to, y}}, "dashed dim");
  svg_.text(frame_.left + frame_.width + 8.0, y_of(y) + 5.0, words);
}

}  // namespace four76::bench
