#include "web/song/match/plot.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "core/phrase.hpp"
#include "web/words/numbers.hpp"

namespace four76::draw {
namespace {

constexpr double kLeastRange_s = 0.02;  // less is wow of a good machine: a flat line shall look flat
constexpr float kStrip = 10.0F;

void wedge(const Paper& paper, const AlignmentScale& at, double tolerance_percent) {
  const double end_s = 0.01 * tolerance_percent * at.tape_s;
  const float left = at.x(0.0), right = at.x(at.tape_s), middle = at.y(0.0);
  // Where the wedge leaves the box it ends there: in two parts, so that its sides stay straight.
  const double inside = std::min(1.0, at.most_s / std::max(end_s, 1e-9));
  const float corner = left + static_cast<float>(inside) * (right - left);
  const float top = at.y(end_s), bottom = at.y(-end_s);
  paper.list.AddTriangleFilled({left, middle}, {corner, top}, {corner, bottom}, paper.ink.tape);
  if (corner < right) paper.list.AddRectFilled({corner, top}, {right, bottom}, paper.ink.tape);
  paper.list.AddLine({left, middle}, {corner, top}, paper.ink.tape_edge, 1.5F);
  paper.list.AddLine({left, middle}, {corner, bottom}, paper.ink.tape_edge, 1.5F);
}

void level_line(const Paper& paper, const AlignmentScale& at) {
  constexpr float kDash = 9.0F;
  const float y = at.y(0.0);
  for (float x = at.box.x; x < at.box.right(); x += 2.0F * kDash)
    paper.list.AddLine({x, y}, {std::min(x + kDash, at.box.right()), y}, theme::faded(paper.ink.paper, 0.4F), 1.0F);
}

void cuts(const Paper& paper, const AlignmentScale& at, const AlignmentPicture& picture) {
  const std::string_view name = tr("cut##alignment");
  const float h = size_of(paper.fonts.small), w = std::max(24.0F, extent(paper.fonts.small, h, name).x);
  for (const double cut_s : picture.cuts_s) {
    const float x = at.x(cut_s);
    for (float y = at.box.y; y < at.box.bottom() + kStrip; y += 8.0F)
      paper.list.AddLine({x, y}, {x, y + 4.0F}, paper.ink.accent, 1.5F);
    line(paper, paper.fonts.small, paper.ink.accent, {std::min(x + 4.0F, at.box.right() - w), at.box.y, w, h}, name);
  }
}

void track(const Paper& paper, const AlignmentScale& at, const AlignmentPicture& picture) {
  for (const AlignmentPoint& point : picture.points)
    if (point.held)
      paper.list.AddCircleFilled({at.x(point.tape_s), at.y(point.ahead_s)}, 2.2F,
                                 theme::faded(paper.ink.paper, 0.35F + 0.65F * static_cast<float>(point.confidence)));
  if (!picture.has_line) return;
  paper.list.AddLine({at.x(0.0), at.y(0.0)}, {at.x(at.tape_s), at.y(picture.slope * at.tape_s)}, paper.ink.accent,
                     1.5F);
}

// Followed: a full bar; heard and not followed: half of one; silence: a thin line. Shape says what colour does.
void strip(const Paper& paper, const AlignmentScale& at, const AlignmentPicture& picture) {
  const float top = at.box.bottom() + 3.0F, bottom = top + kStrip - 3.0F;
  const float half = std::max(0.6F, 0.5F * at.box.w / std::max(1.0F, static_cast<float>(picture.points.size())));
  for (const AlignmentPoint& point : picture.points) {
    const float x = at.x(point.tape_s);
    const float h = point.held ? 1.0F : point.heard ? 0.5F : 0.15F;
    const ImU32 colour = point.held ? theme::faded(paper.ink.accent, 0.3F + 0.7F * static_cast<float>(point.confidence))
                         : point.heard ? paper.ink.warning
                                       : paper.ink.line;
    paper.list.AddRectFilled({x - half, bottom - h * (bottom - top)}, {x + half, bottom}, colour);
  }
}

void ticks(const Paper& paper, const AlignmentScale& at) {
  const ImFont* font = paper.fonts.small;
  const float h = size_of(font), y = at.box.bottom() + kStrip + 2.0F;
  const double step_s = at.tape_s > 70.0 ? 30.0 : at.tape_s > 25.0 ? 10.0 : 5.0;
  for (double t = 0.0; t <= at.tape_s; t += step_s) {
    const bool first = t == 0.0, last = t + step_s > at.tape_s;
    const std::string name = last ? say("{0} s of tape", words::fixed(t, 0)) : words::fixed(t, 0);
    const float w = extent(font, h, name).x;
    const float x =
        first ? at.box.x
              : std::min(at.x(t) - 0.5F * (last ? extent(font, h, words::fixed(t, 0)).x : w), at.box.right() - w);
    line(paper, font, paper.ink.dim, {x, y, w + 1.0F, h}, name);
  }
}

// At the line's end, on the side where there is room.
void name_end(const Paper& paper, const AlignmentScale& at, const AlignmentPicture& picture, std::string_view name) {
  if (name.empty()) return;
  const ImFont* font = paper.fonts.bold;
  const float h = size_of(font), w = extent(font, h, name).x;
  const float end = at.y(picture.slope * at.tape_s), middle = at.y(0.0);
  const bool up = end < middle - 1.0F;
  const float y = up ? middle + 4.0F : middle - h - 4.0F;
  const Rect label{at.box.right() - w - 4.0F, std::clamp(y, at.box.y, at.box.bottom() - h), w + 1.0F, h};
  paper.list.AddRectFilled({label.x - 3.0F, label.y}, {label.right() + 3.0F, label.bottom()},
                           theme::faded(paper.ink.raised, 0.75F), 3.0F);
  line(paper, font, paper.ink.accent, label, name);
}

}  // namespace

float AlignmentScale::x(double t) const noexcept {
  return box.x + static_cast<float>(std::clamp(t / tape_s, 0.0, 1.0)) * box.w;
}
float AlignmentScale::y(double ahead_s) const noexcept {
  const double part = std::clamp(ahead_s / most_s, -1.0, 1.0);
  return box.y + 0.5F * box.h * static_cast<float>(1.0 - part);
}

AlignmentScale alignment_scale(const AlignmentPicture& picture, double tolerance_percent, Rect box) noexcept {
  AlignmentScale at;
  at.box = box;
  at.tape_s = std::max(picture.tape_s, 1.0);
  const double wedge_s = 0.01 * tolerance_percent * at.tape_s;
  // The wedge is seen whole unless the line is far within it.
  at.most_s = 1.15 * std::max({picture.farthest_s, std::min(wedge_s, 4.0 * picture.farthest_s), kLeastRange_s});
  return at;
}

void alignment_plot(const Paper& paper, Rect area, const AlignmentPicture& picture, double tolerance_percent,
                    std::string_view end_name) {
  const float below = kStrip + size_of(paper.fonts.small) + 4.0F;
  const Rect box{area.x, area.y, area.w, area.h - below};
  if (box.h < 24.0F || picture.points.empty()) return;
  const AlignmentScale at = alignment_scale(picture, tolerance_percent, box);
  paper.list.PushClipRect({box.x, box.y}, {box.right(), box.bottom() + kStrip}, true);
  if (picture.has_line) wedge(paper, at, tolerance_percent);
  level_line(paper, at);
  if (picture.has_line) track(paper, at, picture);
  if (picture.has_line) cuts(paper, at, picture);
  strip(paper, at, picture);
  paper.list.PopClipRect();
  if (picture.has_line) name_end(paper, at, picture, end_name);
  ticks(paper, at);
}

}  // namespace four76::draw
