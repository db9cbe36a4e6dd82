#include "web/draw/ribbon_scale.hpp"

#include <algorithm>
#include <cmath>

namespace four76::draw {
namespace {

constexpr float kHeadWidth = 16.0F;
constexpr float kStripPart = 0.56F;     // of the area's height; the rest is for a line that leaves the tape
constexpr double kRoom = 1.1;           // between the farthest point and the edge
constexpr float kThinnestStrip = 3.0F;  // half of it
constexpr double kLongestJoinS = 0.13;  // readings come every 0.05 s; more than two missing is a gap

// Of what is written and lies within sight.
double farthest_percent(const RibbonContent& content) {
  double farthest = 0.0;
  for (const TrailPoint& point : content.trail)
    if (point.status == Status::measured && content.now_s - point.time_s < kRibbonSpanS)
      farthest = std::max(farthest, std::fabs(point.speed_error_percent));
  return farthest;
}

double range_for(double usual_percent, double wanted_percent) {
  if (wanted_percent <= usual_percent) return usual_percent;
  for (const double range : kRibbonRanges_percent)
    if (range > usual_percent && range >= wanted_percent) return range;
  return std::max(usual_percent, kRibbonRanges_percent.back());
}

}  // namespace

float RibbonScale::x(double time_s) const noexcept {
  return head_x - static_cast<float>((now_s - time_s) / kRibbonSpanS) * (head_x - tail_x);
}
float RibbonScale::y(double percent) const noexcept {
  return centre_y - static_cast<float>(percent / range_percent) * 0.5F * area.h;
}
float RibbonScale::y_on_area(double percent) const noexcept {
  return std::clamp(y(percent), area.y + 2.0F, area.bottom() - 2.0F);
}
bool RibbonScale::off_area(double percent) const noexcept { return y(percent) != y_on_area(percent); }

RibbonScale ribbon_scale(const RibbonContent& content, Rect area) noexcept {
  RibbonScale at;
  at.area = area;
  at.head_x = area.right() - kHeadWidth;
  at.tail_x = area.x;
  at.centre_y = area.y + 0.5F * area.h;
  at.now_s = content.now_s;
  at.tolerance_percent = std::max(content.tolerance_percent, 1e-3);
  const double usual = at.tolerance_percent / static_cast<double>(kStripPart);
  at.range_percent = range_for(usual, kRoom * farthest_percent(content));
  at.widened = at.range_percent > usual;
  at.half_h = std::max(kThinnestStrip, 0.5F * area.h * static_cast<float>(at.tolerance_percent / at.range_percent));
  return at;
}

bool joined(const TrailPoint& before, const TrailPoint& after) noexcept {
  return before.status == Status::measured && after.status == Status::measured &&
         after.time_s - before.time_s < kLongestJoinS;
}

}  // namespace four76::draw
