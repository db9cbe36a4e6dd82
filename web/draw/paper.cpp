#include "web/draw/paper.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <string>

namespace four76::draw {
namespace {

constexpr float kSmallestTextPx = 10.0F;
constexpr float kSmallestOfLargePx = 6.5F;  // what stands in one line; it is drawn up to twice as large

ImVec2 corner(Rect area) { return {area.x, area.y}; }
ImVec2 far_corner(Rect area) { return {area.right(), area.bottom()}; }

void put(const Paper& paper, const ImFont* font, float size, ImU32 colour, ImVec2 at, std::string_view text) {
  paper.list.AddText(font, size, at, colour, text.data(), text.data() + text.size());
}

// Broken at spaces alone: Dear ImGui also breaks after a comma or a point, and so within "0,2 %".
std::string wrapped(const ImFont* font, float size, std::string_view text, float width) {
  std::string lines(text);
  std::size_t begin = 0;             // of the line
  std::optional<std::size_t> space;  // the last one in it
  for (std::size_t i = 0; i <= lines.size(); ++i) {
    const bool ends = i == lines.size() || lines[i] == '\n';
    if (!ends && lines[i] != ' ') continue;
    if (space && extent(font, size, std::string_view(lines).substr(begin, i - begin)).x > width) {
      lines[*space] = '\n';
      begin = *space + 1;
    }
    space = i;
    if (!ends) continue;
    space.reset();
    begin = i + 1;
  }
  return lines;
}

void hub(const Paper& paper, ImVec2 centre, float radius, ImU32 colour) {
  constexpr int kTeeth = 6;  // as in a cassette's reel
  paper.list.AddCircle(centre, radius, colour, 0, radius * 0.16F);
  for (int i = 0; i < kTeeth; ++i) {
    const float angle = static_cast<float>(i) * 2.0F * std::numbers::pi_v<float> / kTeeth;
    const ImVec2 way(std::cos(angle), std::sin(angle));
    paper.list.AddLine({centre.x + way.x * radius * 0.95F, centre.y + way.y * radius * 0.95F},
                       {centre.x + way.x * radius * 0.58F, centre.y + way.y * radius * 0.58F}, colour, radius * 0.2F);
  }
}

void arrow(const Paper& paper, ImVec2 centre, float radius, float way, ImU32 colour) {
  const float r = radius * 0.8F;
  paper.list.AddTriangleFilled({centre.x - r, centre.y - way * r * 0.15F}, {centre.x + r, centre.y - way * r * 0.15F},
                               {centre.x, centre.y + way * r}, colour);
  const float top = centre.y - way * r, bottom = centre.y - way * r * 0.1F;
  paper.list.AddRectFilled({centre.x - r * 0.34F, std::min(top, bottom)}, {centre.x + r * 0.34F, std::max(top, bottom)},
                           colour);
}

}  // namespace

float size_of(const ImFont* font) { return font->FontSize * font->Scale; }

ImVec2 extent(const ImFont* font, float size, std::string_view text) {
  return font->CalcTextSizeA(size, 1e6F, 0.0F, text.data(), text.data() + text.size());
}

float line(const Paper& paper, const ImFont* font, ImU32 colour, Rect area, std::string_view text, Align align) {
  float size = size_of(font);
  ImVec2 wanted = extent(font, size, text);
  if (wanted.x > area.w) {
    size = std::max(paper.narrow ? kSmallestOfLargePx : kSmallestTextPx,
                    std::floor(size * area.w / wanted.x * 2.0F) / 2.0F);
    wanted = extent(font, size, text);
  }
  const float spare = area.w - wanted.x;
  const float dx = align == Align::left ? 0.0F : align == Align::right ? spare : spare * 0.5F;
  paper.list.PushClipRect(corner(area), {area.right() + 1.0F, area.y + wanted.y + 2.0F}, true);
  put(paper, font, size, colour, {area.x + dx, area.y}, text);
  paper.list.PopClipRect();
  return wanted.y;
}

float paragraph_height(const ImFont* font, float width, std::string_view text) {
  const float size = size_of(font);
  return text.empty() ? 0.0F : extent(font, size, wrapped(font, size, text, width)).y;
}

float paragraph(const Paper& paper, const ImFont* font, ImU32 colour, Rect area, std::string_view text) {
  if (text.empty() || area.empty()) return 0.0F;
  for (float size = size_of(font);; size -= 0.5F) {
    const std::string lines = wrapped(font, size, text, area.w);
    const ImVec2 wanted = extent(font, size, lines);
    if (size > kSmallestTextPx && (wanted.x > area.w || wanted.y > area.h)) continue;
    put(paper, font, size, colour, corner(area), lines);
    return wanted.y;
  }
}

void panel(const Paper& paper, Rect area) {
  paper.list.AddRectFilled(corner(area), far_corner(area), paper.ink.raised, 10.0F);
}

bool tapped(const Paper& paper, const char* id, Rect area, std::string_view name, DrawnControl::Kind kind) {
  if (area.empty()) return false;
  const bool from_page = paper.controls.add(id, area, name, kind);
  ImGui::SetCursorScreenPos(corner(area));
  return ImGui::InvisibleButton(id, {area.w, area.h}) || from_page;
}

bool button(const Paper& paper, const char* id, Rect area, std::string_view label, bool filled) {
  if (area.empty()) return false;
  const bool pressed = tapped(paper, id, area, label);
  const bool held = ImGui::IsItemActive(), near = ImGui::IsItemHovered();
  const ImU32 fill = filled ? paper.ink.accent : paper.ink.lifted;
  const float radius = std::min(area.h * 0.5F, 10.0F);
  paper.list.AddRectFilled(corner(area), far_corner(area), held ? theme::faded(fill, 0.7F) : fill, radius);
  if (!filled || near)
    paper.list.AddRect(corner(area), far_corner(area), near ? paper.ink.accent : paper.ink.line, radius, 0, 1.5F);
  const ImFont* font = paper.fonts.bold;
  const float height = size_of(font);
  line(paper, font, filled ? paper.ink.on_accent : paper.ink.paper,
       {area.x + 8.0F, area.y + (area.h - height) * 0.5F, area.w - 16.0F, height}, label, Align::centre);
  return pressed;
}

void mark(const Paper& paper, Mark what, ImVec2 c, float r, ImU32 colour) {
  ImDrawList& list = paper.list;
  switch (what) {
    case Mark::none: break;
    case Mark::down: arrow(paper, c, r, 1.0F, colour); break;
    case Mark::up: arrow(paper, c, r, -1.0F, colour); break;
    case Mark::tick: {
      const ImVec2 points[] = {
          {c.x - r * 0.75F, c.y}, {c.x - r * 0.2F, c.y + r * 0.55F}, {c.x + r * 0.8F, c.y - r * 0.6F}};
      list.AddPolyline(points, 3, colour, 0, r * 0.3F);
      break;
    }
    case Mark::dots:
      for (const float at : {-0.7F, 0.0F, 0.7F}) list.AddCircleFilled({c.x + at * r, c.y}, r * 0.2F, colour);
      break;
    case Mark::alert:
      list.AddTriangle({c.x, c.y - r * 0.85F}, {c.x + r * 0.95F, c.y + r * 0.8F}, {c.x - r * 0.95F, c.y + r * 0.8F},
                       colour, r * 0.18F);
      list.AddLine({c.x, c.y - r * 0.3F}, {c.x, c.y + r * 0.25F}, colour, r * 0.2F);
      list.AddCircleFilled({c.x, c.y + r * 0.52F}, r * 0.12F, colour);
      break;
    case Mark::hub: hub(paper, c, r, colour); break;
  }
}

}  // namespace four76::draw
