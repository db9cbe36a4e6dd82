#include "web/draw/ribbon.hpp"

#include <algorithm>
#include <cmath>

#include "web/words/numbers.hpp"

namespace four76::draw {
namespace {

constexpr float kPostWidth = 7.0F;
constexpr double kTickS = 1.0;  // a mark printed on the tape every second, so that it is seen to run

void strip(const Paper& paper, const RibbonScale& at) {
  const float top = at.centre_y - at.half_h, bottom = at.centre_y + at.half_h, light = at.centre_y - at.half_h * 0.35F;
  const float left = at.area.x, right = at.area.right();
  ImDrawList& list = paper.list;
  list.AddRectFilledMultiColor({left, top}, {right, light}, paper.ink.tape, paper.ink.tape, paper.ink.tape_sheen,
                               paper.ink.tape_sheen);
  list.AddRectFilledMultiColor({left, light}, {right, bottom}, paper.ink.tape_sheen, paper.ink.tape_sheen,
                               paper.ink.tape_shade, paper.ink.tape_shade);
  for (const float part : {-0.78F, -0.52F, -0.2F, 0.24F, 0.47F, 0.81F}) {  // streaks of the coating
    const float y = at.centre_y + part * at.half_h;
    list.AddLine({left, y}, {right, y}, theme::faded(paper.ink.ground, 0.13F), 1.0F);
  }
  list.AddLine({left, top}, {right, top}, paper.ink.tape_edge, 2.0F);
  list.AddLine({left, bottom}, {right, bottom}, paper.ink.tape_edge, 2.0F);
}

void printed_marks(const Paper& paper, const RibbonScale& at) {
  const float bottom = at.centre_y + at.half_h - 2.0F;
  const auto newest = static_cast<long>(std::floor(at.now_s / kTickS));
  for (long i = newest - static_cast<long>(kRibbonSpanS / kTickS) + 1; i <= newest; ++i) {
    const double t = static_cast<double>(i) * kTickS;
    const bool tenth = i % 10 == 0, fifth = i % 5 == 0;
    const float x = at.x(t), length = tenth ? 10.0F : fifth ? 7.0F : 4.0F;
    paper.list.AddLine({x, bottom - length}, {x, bottom}, theme::faded(paper.ink.paper, tenth ? 0.5F : 0.28F), 1.0F);
  }
}

void centre_line(const Paper& paper, const RibbonScale& at) {
  constexpr float kDash = 9.0F;
  const int dashes = static_cast<int>((at.head_x - at.area.x) / (2.0F * kDash));
  for (int i = 0; i <= dashes; ++i) {
    const float x = at.area.x + 2.0F * kDash * static_cast<float>(i);
    paper.list.AddLine({x, at.centre_y}, {std::min(x + kDash, at.head_x), at.centre_y},
                       theme::faded(paper.ink.paper, 0.35F), 1.0F);
  }
}

// Where the written line passes behind a figure, the ground shows through less than the figure.
void label(const Paper& paper, Rect row, std::string_view text) {
  const float w = extent(paper.fonts.small, row.h, text).x;
  paper.list.AddRectFilled({row.x - 3.0F, row.y}, {row.x + w + 3.0F, row.bottom()},
                           theme::faded(paper.ink.ground, 0.75F), 3.0F);
  line(paper, paper.fonts.small, paper.ink.dim, row, text);
}

// The deviation's range in each twentieth of a second, behind the line.
void raw_band(const Paper& paper, const RibbonScale& at, std::span<const TraceRange> raw) {
  const auto half = static_cast<float>(0.5 * RangeTrace::kBinS / kRibbonSpanS) * (at.head_x - at.tail_x);
  for (const TraceRange& range : raw) {
    const float x = at.x(range.time_s);
    const bool off = at.off_area(range.lowest_percent) && at.off_area(range.highest_percent);
    if (!range.any || off || x + half < at.tail_x || x - half > at.head_x) continue;
    const float top = at.y_on_area(range.highest_percent), bottom = at.y_on_area(range.lowest_percent);
    paper.list.AddRectFilled({x - half, top - 0.5F}, {std::min(x + half, at.head_x), bottom + 0.5F},
                             theme::faded(paper.ink.accent, 0.5F));
  }
}

// What the upper and the lower edge stand for, where the scale is not the usual one.
void edge_labels(const Paper& paper, const RibbonScale& at) {
  const float height = size_of(paper.fonts.small), x = at.area.x + kPostWidth + 8.0F;
  const std::string range = words::percent(at.range_percent);
  label(paper, {x, at.area.y + 1.0F, 90.0F, height}, "+" + range);
  label(paper, {x, at.area.bottom() - height - 1.0F, 90.0F, height}, "\u2212" + range);
}

void labels(const Paper& paper, const RibbonScale& at, std::string_view span_name) {
  const float height = size_of(paper.fonts.small), x = at.area.x + kPostWidth + 8.0F;
  const bool room_for_both = 0.5F * at.area.h - at.half_h >= 2.0F * height + 6.0F;
  const bool edges_alone = at.widened && !room_for_both && at.half_h < 0.25F * at.area.h;
  if (at.widened && (room_for_both || edges_alone)) edge_labels(paper, at);
  if (edges_alone) {
    line(paper, paper.fonts.small, paper.ink.dim,
         {x + 70.0F, at.area.bottom() - height - 1.0F, at.head_x - x - 74.0F, height}, span_name, Align::centre);
    return;
  }
  const Rect above{x, at.centre_y - at.half_h - height - 2.0F, 90.0F, height};
  const Rect below{x, at.centre_y + at.half_h + 3.0F, 90.0F, height};
  label(paper, above, "+" + words::percent(at.tolerance_percent));
  const std::string lowest = "\u2212" + words::percent(at.tolerance_percent);
  label(paper, below, lowest);
  const float taken = x - at.area.x + extent(paper.fonts.small, height, lowest).x + 8.0F;
  Rect span{at.area.x + taken, below.y, at.area.w - 2.0F * taken, height};
  if (extent(paper.fonts.small, height, span_name).x > span.w) span.w += taken - kPostWidth;  // to the right is room
  line(paper, paper.fonts.small, paper.ink.dim, span, span_name, Align::centre);
}

void post(const Paper& paper, const RibbonScale& at) {
  const float top = at.centre_y - at.half_h - 7.0F, bottom = at.centre_y + at.half_h + 7.0F, x = at.area.x;
  paper.list.AddRectFilled({x, top}, {x + kPostWidth, bottom}, paper.ink.metal_dark, 3.0F);
  paper.list.AddRectFilled({x + 1.5F, top + 2.0F}, {x + 3.5F, bottom - 2.0F}, paper.ink.metal, 1.0F);
}

void head(const Paper& paper, const RibbonScale& at) {
  const float top = at.centre_y - at.half_h - 9.0F, bottom = at.centre_y + at.half_h + 9.0F;
  const float left = at.head_x, right = at.area.right();
  paper.list.AddRectFilled({left, top}, {right, bottom}, paper.ink.metal_dark, 4.0F);
  paper.list.AddRectFilled({left + 5.0F, top + 3.0F}, {right - 5.0F, bottom - 3.0F}, paper.ink.metal, 2.0F);
  paper.list.AddRectFilled({left, top + 4.0F}, {left + 2.0F, bottom - 4.0F}, paper.ink.accent);  // the gap
}

bool within(const RibbonScale& at, const TrailPoint& point) {
  return std::fabs(point.speed_error_percent) <= at.tolerance_percent;
}

void band_between(const Paper& paper, const RibbonScale& at, const TrailPoint& a, const TrailPoint& b) {
  const float xa = at.x(a.time_s), xb = at.x(b.time_s);
  const ImVec2 corners[] = {{xa, at.y_on_area(a.speed_error_percent + a.u95_percent)},
                            {xb, at.y_on_area(b.speed_error_percent + b.u95_percent)},
                            {xb, at.y_on_area(b.speed_error_percent - b.u95_percent)},
                            {xa, at.y_on_area(a.speed_error_percent - a.u95_percent)}};
  // Without edge smoothing, whose fringes would show as stripes where quads meet.
  const ImDrawListFlags flags = paper.list.Flags;
  paper.list.Flags &= ~ImDrawListFlags_AntiAliasedFill;
  paper.list.AddConvexPolyFilled(corners, 4, theme::faded(paper.ink.paper, 0.16F));
  paper.list.Flags = flags;
}

void written_line(const Paper& paper, const RibbonScale& at, std::span<const TrailPoint> trail) {
  for (std::size_t i = 1; i < trail.size(); ++i)
    if (joined(trail[i - 1], trail[i])) band_between(paper, at, trail[i - 1], trail[i]);
  // Neighbours of one colour become one stroke, so that their corners meet.
  const auto colour_of = [&](const TrailPoint& p) { return within(at, p) ? paper.ink.paper : paper.ink.warning; };
  for (std::size_t i = 0; i < trail.size(); ++i) {
    const bool starts = i == 0 || !joined(trail[i - 1], trail[i]);
    const ImVec2 here(at.x(trail[i].time_s), at.y_on_area(trail[i].speed_error_percent));
    if (starts) paper.list.PathClear();
    if (trail[i].status != Status::measured) {
      if (trail[i].status == Status::unreliable)
        paper.list.AddCircleFilled(here, 1.0F, theme::faded(paper.ink.dim, 0.45F));
      continue;
    }
    paper.list.PathLineTo(here);
    const bool ends = i + 1 == trail.size() || !joined(trail[i], trail[i + 1]);
    const bool turns = !ends && colour_of(trail[i]) != colour_of(trail[i + 1]);
    if (!ends && !turns) continue;
    paper.list.PathStroke(colour_of(trail[i]), 0, 2.2F);
    if (turns) paper.list.PathLineTo(here);
  }
}

// The line has left what can be drawn on: an arrow at the rim says which way and how far.
void off_tape(const Paper& paper, const RibbonScale& at, const TrailPoint& newest) {
  const bool up = newest.speed_error_percent > 0.0;
  const float height = size_of(paper.fonts.bold), r = 7.0F, x = at.head_x - 18.0F;
  const float top = up ? at.area.y + 5.0F : at.area.bottom() - height - 5.0F, y = top + height * 0.5F;
  mark(paper, up ? Mark::up : Mark::down, {x, y}, r, paper.ink.warning);
  const int decimals = words::supported_decimals(newest.u95_percent, 1);
  const std::string error = words::signed_fixed(newest.speed_error_percent, decimals) + " %";
  const float w = extent(paper.fonts.bold, height, error).x;
  const Rect row{x - 12.0F - w, top, w + 1.0F, height};
  paper.list.AddRectFilled({row.x - 3.0F, row.y}, {row.right() + 2.0F, row.bottom()},
                           theme::faded(paper.ink.ground, 0.75F), 3.0F);
  line(paper, paper.fonts.bold, paper.ink.warning, row, error);
}

void pen(const Paper& paper, const RibbonScale& at, const TrailPoint& newest) {
  const ImVec2 nib(at.head_x, at.y_on_area(newest.speed_error_percent));
  paper.list.AddCircleFilled(nib, 6.5F, paper.ink.ground);
  paper.list.AddCircleFilled(nib, 5.0F, within(at, newest) ? paper.ink.paper : paper.ink.warning);
}

}  // namespace

void ribbon(const Paper& paper, Rect area, const RibbonContent& content) {
  const RibbonScale at = ribbon_scale(content, area);
  strip(paper, at);
  printed_marks(paper, at);
  centre_line(paper, at);
  paper.list.PushClipRect({area.x, area.y}, {area.right(), area.bottom()}, true);
  raw_band(paper, at, content.raw);
  written_line(paper, at, content.trail);
  paper.list.PopClipRect();
  labels(paper, at, content.span_name);
  post(paper, at);
  head(paper, at);
  if (!content.writing || content.trail.empty() || content.trail.back().status != Status::measured) return;
  const TrailPoint& newest = content.trail.back();
  if (at.off_area(newest.speed_error_percent)) off_tape(paper, at, newest);
  pen(paper, at, newest);
}

}  // namespace four76::draw
