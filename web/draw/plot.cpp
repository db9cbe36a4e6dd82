#include "web/draw/plot.hpp"

#include <algorithm>
#include <cmath>

#include "web/words/numbers.hpp"

namespace four76::draw {
namespace {

constexpr float kLevelWidth = 40.0F;

struct Scale {
  Rect box;
  PlotRange range;
  [[nodiscard]] float x(double hz) const {
    return box.x + static_cast<float>((hz - range.low_hz) / (range.high_hz - range.low_hz)) * box.w;
  }
  [[nodiscard]] float y(double dbfs) const {
    const double part = (dbfs - range.low_dbfs) / (range.high_dbfs - range.low_dbfs);
    return box.bottom() - static_cast<float>(std::clamp(part, 0.0, 1.0)) * box.h;
  }
};

std::string tick_name(double hz, double tick_hz) {
  if (tick_hz >= 1000.0) return words::fixed(hz / 1000.0, 0) + " k";
  return words::fixed(hz, 0);
}

// Levels, named where the curve leaves room.
void level_grid(const Paper& paper, const Scale& at, float highest_y) {
  const PlotRange& range = at.range;
  const ImFont* font = paper.fonts.small;
  const float height = size_of(font);
  const double step_db = at.box.h > 110.0F ? 20.0 : 40.0;
  const int steps = static_cast<int>(std::ceil((range.high_dbfs - range.low_dbfs) / step_db));
  for (int i = 1; i < steps; ++i) {
    const double level = range.high_dbfs - i * step_db;
    const float y = at.y(level);
    paper.list.AddLine({at.box.x, y}, {at.box.right(), y}, theme::faded(paper.ink.line, 0.7F), 1.0F);
    if (y > highest_y) continue;
    const Rect label{at.box.right() - kLevelWidth, y - height - 1.0F, kLevelWidth, height};
    line(paper, font, theme::faded(paper.ink.dim, 0.8F), label, words::fixed(level, 0), Align::right);
  }
}

void frequency_ticks(const Paper& paper, const Scale& at) {
  const PlotRange& range = at.range;
  const ImFont* font = paper.fonts.small;
  const float height = size_of(font);
  float free_from = at.box.x;
  const auto first = static_cast<int>(std::ceil(range.low_hz / range.tick_hz));
  const auto last = static_cast<int>(std::floor(range.high_hz / range.tick_hz));
  for (int i = first; i <= last; ++i) {
    const double hz = i * range.tick_hz;
    const float x = at.x(hz);
    const std::string name = tick_name(hz, range.tick_hz);
    const float w = extent(font, height, name).x;
    const float left = std::clamp(x - w * 0.5F, at.box.x, at.box.right() - w);
    paper.list.AddLine({x, at.box.bottom()}, {x, at.box.bottom() + 3.0F}, paper.ink.line, 1.0F);
    if (left < free_from) continue;
    line(paper, font, paper.ink.dim, {left, at.box.bottom() + 3.0F, w + 1.0F, height}, name);
    free_from = left + w + 6.0F;
  }
}

// Returns how high it reaches under the names of the levels.
float curve(const Paper& paper, const Scale& at, const SpectrumSnapshot& spectrum) {
  float highest = at.box.bottom();
  const int columns = std::max(2, static_cast<int>(at.box.w));
  const std::vector<float> levels = loudest_by_column(spectrum, at.range, columns);
  const float step = at.box.w / static_cast<float>(columns);
  std::vector<ImVec2> points(levels.size());
  for (std::size_t i = 0; i < levels.size(); ++i) {
    points[i] = {at.box.x + (static_cast<float>(i) + 0.5F) * step, at.y(levels[i])};
    paper.list.AddRectFilled({at.box.x + static_cast<float>(i) * step, points[i].y},
                             {at.box.x + static_cast<float>(i + 1) * step, at.box.bottom()},
                             theme::faded(paper.ink.tape_edge, 0.35F));
    if (points[i].x > at.box.right() - kLevelWidth) highest = std::min(highest, points[i].y);
  }
  paper.list.AddPolyline(points.data(), static_cast<int>(points.size()), paper.ink.dim, 0, 1.4F);
  return highest;
}

void expected_line(const Paper& paper, const Scale& at, double hz) {
  if (hz <= at.range.low_hz || hz >= at.range.high_hz) return;
  const float x = at.x(hz);
  const int dashes = static_cast<int>(at.box.h / 8.0F);
  for (int i = 0; i < dashes; ++i) {
    const float y = at.box.y + 8.0F * static_cast<float>(i);
    paper.list.AddLine({x, y}, {x, std::min(y + 4.0F, at.box.bottom())}, theme::faded(paper.ink.paper, 0.4F), 1.0F);
  }
}

bool overlaps(const Rect& a, const Rect& b) {
  return a.x < b.right() && b.x < a.right() && a.y < b.bottom() && b.y < a.bottom();
}

// A mark above its peak, with its name beside it where no other name stands already.
void peak(const Paper& paper, const Scale& at, const PlotMark& mark_, std::vector<Rect>& taken) {
  const float x = at.x(mark_.frequency_hz), y = std::max(at.y(mark_.level_dbfs) - 4.0F, at.box.y + 8.0F);
  const bool is_tone = mark_.kind == PlotMark::Kind::tone;
  const ImU32 colour = is_tone                                    ? paper.ink.accent
                       : mark_.kind == PlotMark::Kind::disturbing ? paper.ink.warning
                                                                  : paper.ink.dim;
  if (is_tone) {
    paper.list.AddTriangleFilled({x - 5.0F, y - 8.0F}, {x + 5.0F, y - 8.0F}, {x, y}, colour);
  } else {
    paper.list.AddTriangle({x - 4.5F, y - 8.0F}, {x + 4.5F, y - 8.0F}, {x, y}, colour, 1.5F);
  }
  if (mark_.name.empty()) return;
  const ImFont* font = paper.fonts.small;
  const ImVec2 size = extent(font, size_of(font), mark_.name);
  const bool to_left = x + 9.0F + size.x > at.box.right();
  Rect label{to_left ? x - 9.0F - size.x : x + 9.0F, y - size.y + 1.0F, size.x + 1.0F, size.y};
  for (int tries = 0; tries < 4; ++tries, label.y += size.y) {
    if (label.bottom() > at.box.bottom()) return;
    if (std::none_of(taken.begin(), taken.end(), [&](const Rect& other) { return overlaps(label, other); })) break;
    if (tries == 3) return;
  }
  taken.push_back(label);
  paper.list.AddRectFilled({label.x - 2.0F, label.y}, {label.right() + 2.0F, label.bottom()},
                           theme::faded(paper.ink.raised, 0.75F), 3.0F);
  line(paper, font, colour, label, mark_.name);
}

}  // namespace

std::vector<float> loudest_by_column(const SpectrumSnapshot& spectrum, const PlotRange& range, int columns) {
  std::vector<float> levels(static_cast<std::size_t>(std::max(columns, 0)), static_cast<float>(range.low_dbfs));
  if (!(spectrum.bin_hz > 0.0) || spectrum.level_dbfs.empty() || levels.empty()) return levels;
  const double per_column = (range.high_hz - range.low_hz) / columns;
  const auto last = static_cast<double>(spectrum.level_dbfs.size() - 1);
  for (std::size_t column = 0; column < levels.size(); ++column) {
    const double from = (range.low_hz + per_column * static_cast<double>(column) - spectrum.first_hz) / spectrum.bin_hz;
    const double to = from + per_column / spectrum.bin_hz;
    if (to < 0.0 || from > last) continue;
    // At least the nearest bin, so that a fine plot has no holes.
    const auto first_bin = static_cast<std::size_t>(std::clamp(std::round(from), 0.0, last));
    const auto last_bin = static_cast<std::size_t>(std::clamp(std::floor(to), 0.0, last));
    float loudest = spectrum.level_dbfs[first_bin];
    for (std::size_t bin = first_bin; bin <= last_bin; ++bin) loudest = std::max(loudest, spectrum.level_dbfs[bin]);
    levels[column] = std::max(levels[column], loudest);
  }
  return levels;
}

void plot(const Paper& paper, Rect area, const PlotRange& range, const SpectrumSnapshot& spectrum,
          const std::vector<PlotMark>& marks, double expected_hz) {
  const float below = size_of(paper.fonts.small) + 4.0F;
  const Scale at{{area.x, area.y, area.w, area.h - below}, range};
  if (at.box.h < 20.0F) return;
  expected_line(paper, at, expected_hz);
  level_grid(paper, at, curve(paper, at, spectrum));
  frequency_ticks(paper, at);
  std::vector<Rect> taken;
  for (const PlotMark& each : marks)
    if (each.frequency_hz > range.low_hz && each.frequency_hz < range.high_hz) peak(paper, at, each, taken);
}

}  // namespace four76::draw
