#include "tests/bench/reliability_picture.hpp"

#include <algorithm>
#include <cmath>

#include "tests/bench/plot.hpp"

namespace four76::bench {

namespace {

using scenes::kLevels;
using scenes::Reliability;

constexpr Frame kFrame{80.0, 104.0, 400.0, 370.0};
constexpr double kLegend = kFrame.left + kFrame.width + 40.0;
constexpr double kFrom = 40.0, kTo = 100.0;  // percent, both ways

// Where 95 of 100 counts of so many readings would lie, were every statement exactly right (binomial, as a Gaussian).
void draw_chance(Plot& plot, int count) {
  Points upper, lower;
  for (double stated = kFrom; stated <= kTo; stated += 2.0) {
    const double share = stated / 100.0;
    const double spread = 196.0 * std::sqrt(share * (1.0 - share) / std::max(1, count));
    upper.emplace_back(stated, stated + spread);
    lower.emplace_back(stated, stated - spread);
  }
  plot.area(upper, lower);
  plot.curve({{kFrom, kFrom}, {kTo, kTo}}, "dashed dim");
}

void draw_curve(SvgWriter& svg, Plot& plot, const Reliability& curve, std::size_t place) {
  const std::string colour = colour_of(place);
  const std::string classes = (curve.name == "all" ? "thick " : "thin ") + colour;
  Points points;
  for (std::size_t i = 0; i < kLevels.size(); ++i)
    points.emplace_back(kLevels[i].stated_percent, curve.actual_percent[i]);
  plot.curve(points, classes);
  for (const auto& [stated, actual] : points) plot.mark(mark_of(place), stated, actual, colour);
  const double y = kFrame.top + 40.0 + 42.0 * static_cast<double>(place);
  svg.empty("line", {{"class", "curve " + classes}, {"x1", kLegend}, {"y1", y}, {"x2", kLegend + 34.0}, {"y2", y}});
  draw_mark(svg, mark_of(place), kLegend + 17.0, y, colour);
  svg.text(kLegend + 46.0, y + 2.0, curve.name + ", " + std::to_string(curve.count) + " readings");
  svg.text(
      kLegend + 46.0, y + 18.0,
      decimal(curve.actual_percent[4], 1) + " % within the ±; RMS error " + decimal(curve.rms_of_u95, 2) + " of it",
      {{"class", "small"}});
}

}  // namespace

std::string reliability_picture(const std::vector<Reliability>& curves) {
  SvgWriter svg =
      picture(900.0, 540.0, "Does the stated uncertainty hold?",
              "Above the dashed line: more cautious than it need be. Below it: too bold. Grey: what chance alone "
              "allows all of them.",
              "Stated coverage against actual coverage of the readings, by kind of scene. On the dashed line a "
              "statement is exactly right; above it, more cautious than it need be.");
  const std::vector<double> ticks{40.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0};
  Plot plot(svg, kFrame,
            {.label = "stated: the machine's own speed is within, %", .from = kFrom, .to = kTo, .ticks = ticks},
            {.label = "actual: it was, % of readings", .from = kFrom, .to = kTo, .ticks = ticks});
  if (!curves.empty()) draw_chance(plot, curves.back().count);
  svg.text(kLegend, kFrame.top + 8.0, "By kind of scene", {{"class", "title"}});
  for (std::size_t i = 0; i < curves.size(); ++i) draw_curve(svg, plot, curves[i], i);
  return svg.finish();
}

}  // namespace four76::bench
