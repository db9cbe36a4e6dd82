#include "tests/bench/reliability_picture.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <utility>

#include "tests/bench/svg_writer.hpp"

namespace four76::bench {

namespace {

using scenes::kLevels;
using scenes::Reliability;

constexpr double kWidth = 900.0, kHeight = 560.0;
constexpr double kLeft = 80.0, kTop = 70.0, kSide = 420.0;  // of the square of the axes
constexpr double kLegend = kLeft + kSide + 40.0;
constexpr double kFrom = 40.0, kTo = 100.0;  // percent, both ways

// Colours of Okabe and Ito, told apart by most eyes; each has a mark of its own besides.
constexpr std::string_view kCss =
    "svg { background: #ffffff; font-family: system-ui, sans-serif; font-size: 15px }\n"
    "text { fill: #1b1f24 }\n"
    ".title { font-size: 19px; font-weight: 600 }\n"
    ".small { font-size: 13px }\n"
    ".axis { stroke: #57606a; fill: none }\n"
    ".grid { stroke: #d0d7de }\n"
    ".ideal { stroke: #57606a; stroke-width: 2; stroke-dasharray: 6 5 }\n"
    ".chance { fill: #57606a; fill-opacity: 0.16 }\n"
    ".curve { fill: none; stroke-width: 1.6 }\n"
    ".all { stroke-width: 3.5 }\n"
    ".c0 { color: #0072b2 } .c1 { color: #d55e00 } .c2 { color: #009e73 } .c3 { color: #b0609a }\n"
    ".c4 { color: #a07800 } .c5 { color: #2f93c8 } .c6 { color: #1b1f24 }\n"
    ".curve, .mark { stroke: currentColor } .mark { fill: currentColor }\n"
    "@media (prefers-color-scheme: dark) {\n"
    "svg { background: #0d1117 }\n"
    "text { fill: #e6edf3 }\n"
    ".axis, .ideal { stroke: #9198a1 } .grid { stroke: #30363d } .chance { fill: #9198a1 }\n"
    ".c0 { color: #4da3dd } .c1 { color: #ff8a3d } .c2 { color: #2fc79a } .c3 { color: #e29ccb }\n"
    ".c4 { color: #e6c229 } .c5 { color: #7cc8f0 } .c6 { color: #f0f6fc }\n"
    "}\n";

double x_of(double percent) { return kLeft + kSide * (percent - kFrom) / (kTo - kFrom); }
double y_of(double percent) { return kTop + kSide * (kTo - std::max(kFrom, percent)) / (kTo - kFrom); }

std::string corners(std::initializer_list<std::pair<double, double>> places) {
  std::string points;
  for (const auto& [x, y] : places) points.append(number(x)).append(1, ',').append(number(y)).append(1, ' ');
  return points;
}

std::string rounded(double value, const char* format) {
  char text[32];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

void draw_axes(SvgWriter& svg) {
  for (double percent = kFrom; percent <= kTo; percent += 10.0) {
    svg.empty("line",
              {{"class", "grid"}, {"x1", x_of(percent)}, {"y1", kTop}, {"x2", x_of(percent)}, {"y2", kTop + kSide}});
    svg.empty("line",
              {{"class", "grid"}, {"x1", kLeft}, {"y1", y_of(percent)}, {"x2", kLeft + kSide}, {"y2", y_of(percent)}});
    svg.text(x_of(percent), kTop + kSide + 22.0, rounded(percent, "%.0f"), {{"text-anchor", "middle"}});
    svg.text(kLeft - 10.0, y_of(percent) + 5.0, rounded(percent, "%.0f"), {{"text-anchor", "end"}});
  }
  svg.empty("rect", {{"class", "axis"}, {"x", kLeft}, {"y", kTop}, {"width", kSide}, {"height", kSide}});
  svg.text(kLeft + kSide / 2.0, kTop + kSide + 48.0, "stated: the true mean is within, %", {{"text-anchor", "middle"}});
  const double middle = kTop + kSide / 2.0;
  svg.text(0.0, 0.0, "actual: it was, % of readings",
           {{"text-anchor", "middle"},
            {"transform", std::string("translate(28 ").append(number(middle)).append(") rotate(-90)")}});
}

// Where 95 of 100 counts of so many readings would lie, were every statement exactly right (binomial, as a Gaussian).
void draw_chance(SvgWriter& svg, int count) {
  std::string upper, lower;
  for (double stated = kFrom; stated <= kTo; stated += 2.0) {
    const double share = stated / 100.0;
    const double spread = 196.0 * std::sqrt(share * (1.0 - share) / std::max(1, count));
    upper += corners({{x_of(stated), y_of(std::min(100.0, stated + spread))}});
    lower.insert(0, corners({{x_of(stated), y_of(stated - spread)}}));
  }
  svg.empty("polygon", {{"class", "chance"}, {"points", upper + lower}});
  svg.empty("line",
            {{"class", "ideal"}, {"x1", x_of(kFrom)}, {"y1", y_of(kFrom)}, {"x2", x_of(kTo)}, {"y2", y_of(kTo)}});
}

void draw_mark(SvgWriter& svg, std::size_t shape, double x, double y) {
  constexpr double kHalf = 4.0;
  std::string points;
  switch (shape % 4) {
    case 0: svg.empty("circle", {{"class", "mark"}, {"cx", x}, {"cy", y}, {"r", kHalf}}); return;
    case 1:
      points =
          corners({{x - kHalf, y - kHalf}, {x + kHalf, y - kHalf}, {x + kHalf, y + kHalf}, {x - kHalf, y + kHalf}});
      break;
    case 2: points = corners({{x, y - 5.0}, {x + 5.0, y + kHalf}, {x - 5.0, y + kHalf}}); break;
    default: points = corners({{x, y - 5.0}, {x + 5.0, y}, {x, y + 5.0}, {x - 5.0, y}});
  }
  svg.empty("polygon", {{"class", "mark"}, {"points", points}});
}

void draw_curve(SvgWriter& svg, const Reliability& curve, std::size_t place) {
  std::string points;
  for (std::size_t i = 0; i < kLevels.size(); ++i)
    points += corners({{x_of(kLevels[i].stated_percent), y_of(curve.actual_percent[i])}});
  const std::string colour = std::string("c").append(std::to_string(std::min<std::size_t>(6, place)));
  svg.open("g", {{"class", colour}});
  svg.empty("polyline", {{"class", curve.name == "all" ? "curve all" : "curve"}, {"points", points}});
  for (std::size_t i = 0; i < kLevels.size(); ++i)
    draw_mark(svg, place, x_of(kLevels[i].stated_percent), y_of(curve.actual_percent[i]));
  const double y = kTop + 60.0 + 44.0 * static_cast<double>(place);
  svg.empty("line", {{"class", curve.name == "all" ? "curve all" : "curve"},
                     {"x1", kLegend},
                     {"y1", y},
                     {"x2", kLegend + 34.0},
                     {"y2", y}});
  draw_mark(svg, place, kLegend + 17.0, y);
  svg.close();
  svg.text(kLegend + 46.0, y + 1.0, curve.name + ", " + std::to_string(curve.count) + " readings");
  svg.text(kLegend + 46.0, y + 18.0,
           rounded(curve.actual_percent[4], "%.1f") + " % within u95; RMS error " + rounded(curve.rms_of_u95, "%.2f") +
               " u95",
           {{"class", "small"}});
}

}  // namespace

std::string reliability_picture(const std::vector<Reliability>& curves) {
  SvgWriter svg(kWidth, kHeight, "Reliability of the stated uncertainty",
                "Stated coverage against actual coverage of the readings, by kind of scene. On the dashed line a "
                "statement is exactly right; above it, more cautious than it need be.");
  svg.style(kCss);
  svg.text(kLeft, 34.0, "Does the stated uncertainty hold?", {{"class", "title"}});
  svg.text(kLeft, 56.0,
           "Of the machine's own speed. Above the dashed line: more cautious than it need be. Below it: too bold.",
           {{"class", "small"}});
  draw_axes(svg);
  if (!curves.empty()) draw_chance(svg, curves.back().count);
  svg.text(kLegend, kTop + 12.0, "By kind of scene", {{"class", "title"}});
  for (std::size_t i = 0; i < curves.size(); ++i) draw_curve(svg, curves[i], i);
  const double below = kTop + 60.0 + 44.0 * static_cast<double>(curves.size());
  svg.text(kLegend, below, "Grey: what chance alone allows all of them.", {{"class", "small"}});
  return svg.finish();
}

}  // namespace four76::bench
