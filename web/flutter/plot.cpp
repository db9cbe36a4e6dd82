#include "web/flutter/plot.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "web/words/numbers.hpp"

namespace four76::draw {
namespace {

double part_of(double value, double low, double high) {
  if (!(value > low)) return 0.0;
  return std::min(1.0, std::log(value / low) / std::log(high / low));
}

// "0.1 %": as many decimals as the power of ten needs.
std::string percent_name(double percent, int decade) { return words::fixed(percent, std::max(0, -decade)) + " %"; }

void percent_grid(const Paper& paper, const FlutterScale& at) {
  const ImFont* font = paper.fonts.small;
  const float height = size_of(font);
  const auto lowest = static_cast<int>(std::lround(std::log10(at.lowest_percent)));
  const auto highest = static_cast<int>(std::lround(std::log10(at.highest_percent)));
  for (int decade = lowest; decade <= highest; ++decade) {
    const double percent = std::pow(10.0, decade);
    const float y = at.y(percent);
    paper.list.AddLine({at.box.x, y}, {at.box.right(), y}, theme::faded(paper.ink.line, 0.7F), 1.0F);
    if (decade == lowest) continue;
    line(paper, font, theme::faded(paper.ink.dim, 0.8F), {at.box.right() - 60.0F, y + 1.0F, 60.0F, height},
         percent_name(percent, decade), Align::right);
  }
}

void rate_ticks(const Paper& paper, const FlutterScale& at) {
  constexpr std::array<double, 11> kRatesHz = {0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0};
  const ImFont* font = paper.fonts.small;
  const float height = size_of(font);
  float free_from = at.box.x;
  for (const double hz : kRatesHz) {
    const float x = at.x(hz);
    const bool last = hz == kRatesHz.back();
    const std::string name = words::fixed(hz, hz < 1.0 ? 1 : 0) + (last ? " Hz" : "");
    const float w = extent(font, height, name).x;
    const float left = std::clamp(x - w * 0.5F, at.box.x, at.box.right() - w);
    paper.list.AddLine({x, at.box.bottom()}, {x, at.box.bottom() + 3.0F}, paper.ink.line, 1.0F);
    const float last_w = extent(font, height, "200 Hz").x + 6.0F;
    if (left < free_from || (!last && left + w > at.box.right() - last_w)) continue;
    line(paper, font, paper.ink.dim, {left, at.box.bottom() + 3.0F, w + 1.0F, height}, name);
    free_from = left + w + 6.0F;
  }
}

void curve(const Paper& paper, const FlutterScale& at, const FlutterPicture& picture) {
  std::vector<ImVec2> points;
  points.reserve(picture.peak_percent.size());
  for (std::size_t column = 0; column < picture.peak_percent.size(); ++column) {
    const float left = at.x(column_hz(column)), right = at.x(column_hz(column + 1));
    const float y = at.y(static_cast<double>(picture.peak_percent[column]));
    points.emplace_back(0.5F * (left + right), y);
    paper.list.AddRectFilled({left, y}, {right, at.box.bottom()}, theme::faded(paper.ink.tape_edge, 0.35F));
  }
  paper.list.AddPolyline(points.data(), static_cast<int>(points.size()), paper.ink.dim, 0, 1.4F);
}

bool overlaps(const Rect& a, const Rect& b) {
  return a.x < b.right() && b.x < a.right() && a.y < b.bottom() && b.y < a.bottom();
}

// A filled mark; one with an arrow where the rate moves, up or down the axis; an empty one where it is none of the
// tape's.
void mark(const Paper& paper, ImVec2 tip, const FlutterPeak& peak) {
  const ImVec2 left(tip.x - 5.0F, tip.y - 8.0F), right(tip.x + 5.0F, tip.y - 8.0F);
  if (peak.foreign)
    paper.list.AddTriangle(left, right, tip, paper.ink.dim, 1.5F);
  else
    paper.list.AddTriangleFilled(left, right, tip, paper.ink.accent);
  if (!peak.moving) return;
  const float way = peak.change_hz_per_minute < 0.0 ? -1.0F : 1.0F, y = tip.y - 12.0F, end = tip.x + way * 9.0F;
  paper.list.AddLine({tip.x - way * 7.0F, y}, {end, y}, paper.ink.accent, 1.5F);
  paper.list.AddLine({end - way * 4.0F, y - 3.0F}, {end, y}, paper.ink.accent, 1.5F);
  paper.list.AddLine({end - way * 4.0F, y + 3.0F}, {end, y}, paper.ink.accent, 1.5F);
}

// What a name must not stand on. A little room to either side: close by another mark it would read as that one's.
Rect around_mark(ImVec2 tip, const FlutterPeak& peak) {
  constexpr float kAside = 8.0F;
  const float h = peak.moving ? 16.0F : 8.0F;
  return {tip.x - kAside, tip.y - h, 2.0F * kAside, h};
}

// Beside its mark, or above it, where no other name stands already, with a line to it from further off; nothing where
// there is no room.
void peak_name(const Paper& paper, const FlutterScale& at, ImVec2 tip, const std::string& name,
               std::vector<Rect>& taken) {
  const ImFont* font = paper.fonts.small;
  const ImVec2 size = extent(font, size_of(font), name);
  constexpr std::size_t kClose = 3;  // so many places need no line to the mark
  const std::array<ImVec2, 8> places = {{{tip.x + 9.0F, tip.y - size.y},
                                         {tip.x - 10.0F - size.x, tip.y - size.y},
                                         {tip.x - 0.5F * size.x, tip.y - 10.0F - size.y},
                                         {tip.x - 2.0F, tip.y - 2.0F * size.y - 2.0F},
                                         {tip.x + 2.0F - size.x, tip.y - 2.0F * size.y - 2.0F},
                                         {tip.x - 0.5F * size.x, tip.y - 14.0F - 2.0F * size.y},
                                         {tip.x - 2.0F, tip.y - 3.0F * size.y - 4.0F},
                                         {tip.x + 2.0F - size.x, tip.y - 3.0F * size.y - 4.0F}}};
  for (std::size_t i = 0; i < places.size(); ++i) {
    const Rect label{places[i].x, places[i].y, size.x + 1.0F, size.y};
    const bool inside = label.x >= at.box.x && label.right() <= at.box.right() && label.y >= at.box.y - 2.0F;
    if (!inside) continue;
    const Rect way{tip.x, label.bottom(), 1.0F, i >= kClose ? tip.y - 9.0F - label.bottom() : 0.0F};
    const auto in_the_way = [&](const Rect& other) {
      return overlaps(label, other) || (i >= kClose && overlaps(way, other));
    };
    if (std::any_of(taken.begin(), taken.end(), in_the_way)) continue;
    taken.push_back(label);
    if (i >= kClose) paper.list.AddLine({tip.x, label.bottom()}, {tip.x, tip.y - 9.0F}, paper.ink.accent, 1.0F);
    paper.list.AddRectFilled({label.x - 2.0F, label.y}, {label.right() + 2.0F, label.bottom()},
                             theme::faded(paper.ink.raised, 0.9F), 3.0F);
    line(paper, font, paper.ink.accent, label, name);
    return;
  }
}

}  // namespace

float FlutterScale::x(double rate_hz) const noexcept {
  const double part = part_of(rate_hz, FlutterPicture::kLowestHz, FlutterPicture::kHighestHz);
  return box.x + static_cast<float>(part) * box.w;
}
float FlutterScale::y(double percent) const noexcept {
  return box.bottom() - static_cast<float>(part_of(percent, lowest_percent, highest_percent)) * box.h;
}

void flutter_plot(const Paper& paper, Rect area, const FlutterPicture& picture, const std::vector<std::string>& names) {
  const float below = size_of(paper.fonts.small) + 4.0F;
  FlutterScale at;
  at.box = {area.x, area.y, area.w, area.h - below};
  if (at.box.h < 20.0F) return;
  const bool strong = !picture.peaks.empty() && picture.peaks.front().peak_percent > at.highest_percent;
  if (strong) at.highest_percent = 10.0;
  curve(paper, at, picture);
  percent_grid(paper, at);
  rate_ticks(paper, at);
  std::vector<ImVec2> tips;
  std::vector<Rect> taken;
  for (const FlutterPeak& peak : picture.peaks) {
    const ImVec2 tip(at.x(peak.rate_hz), std::max(at.y(peak.peak_percent) - 3.0F, at.box.y + 8.0F));
    tips.push_back(tip);
    taken.push_back(around_mark(tip, peak));
  }
  for (std::size_t i = 0; i < std::min(tips.size(), names.size()); ++i)
    if (!names[i].empty()) peak_name(paper, at, tips[i], names[i], taken);
  for (std::size_t i = 0; i < tips.size(); ++i) mark(paper, tips[i], picture.peaks[i]);
}

}  // namespace four76::draw
