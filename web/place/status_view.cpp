// The line above the figure: what the machine is measured against, and the units to choose from. The demo says that it
// is one.
#include <algorithm>
#include <string>

#include "core/phrase.hpp"
#include "web/place/view.hpp"
#include "web/tone/controls.hpp"
#include "web/tone/words.hpp"
#include "web/words/hint.hpp"

namespace four76::views {
namespace {

constexpr float kBetween = 10.0F;

// Returns its width.
float badge(const draw::Paper& paper, Rect row, std::string_view text) {
  const ImFont* font = paper.fonts.bold;
  const ImVec2 size = draw::extent(font, draw::size_of(font), text);
  const float h = std::min(row.h, size.y + 6.0F), y = row.y + (row.h - h) * 0.5F;
  paper.list.AddRectFilled({row.x, y}, {row.x + size.x + 16.0F, y + h}, paper.ink.accent, 5.0F);
  draw::line(paper, font, paper.ink.on_accent, {row.x + 8.0F, y + (h - size.y) * 0.5F, size.x + 1.0F, size.y}, text);
  return size.x + 16.0F + kBetween;
}

float lamp(const draw::Paper& paper, Rect row, bool on) {
  const ImVec2 centre(row.x + 6.0F, row.y + row.h * 0.5F);
  if (on) {
    paper.list.AddCircleFilled(centre, 4.5F, paper.ink.accent);
  } else {
    paper.list.AddCircle(centre, 4.0F, paper.ink.dim, 0, 1.5F);
  }
  return 12.0F + kBetween;
}

struct Units {
  Answer answer;
  float left = 0.0F;  // where they begin
};

// The chosen one is boxed.
Units units(const draw::Paper& paper, Rect row, Unit chosen) {
  const ImFont* font = paper.fonts.bold;
  Units result{std::nullopt, row.right()};
  for (const Unit unit : {Unit::hertz, Unit::cents, Unit::percent}) {
    const std::string name(unit == Unit::percent ? "%" : words::unit_name(unit));
    const ImVec2 size = draw::extent(font, draw::size_of(font), name);
    const Rect pill{result.left - size.x - 18.0F, row.y, size.x + 18.0F, row.h};
    const float y = row.y + (row.h - size.y) * 0.5F;
    if (draw::tapped(control_value(unit).data(), pill)) result.answer = intent::ChooseUnit{unit};
    if (unit == chosen)
      paper.list.AddRect({pill.x, y - 3.0F}, {pill.right(), y + size.y + 3.0F}, paper.ink.accent, 5.0F, 0, 1.5F);
    draw::line(paper, font, unit == chosen ? paper.ink.paper : paper.ink.dim, {pill.x + 9.0F, y, size.x + 1.0F, size.y},
               name);
    result.left = pill.x - 2.0F;
  }
  return result;
}

}  // namespace

Answer status(const Model& model, const draw::Paper& paper, Rect area) {
  const Units right = units(paper, area, model.settings.unit);
  const std::string line = words::status_line(model);
  const ImFont* bold = paper.fonts.bold;
  const bool whole = draw::extent(bold, draw::size_of(bold), line).x + 16.0F + kBetween < right.left - area.x;
  const float used = is_demo(model) ? badge(paper, area, whole ? std::string_view(line) : tr("Demo"))
                                    : lamp(paper, area, model.phase == Phase::listening);
  const ImFont* font = paper.fonts.text;
  const Rect rest{area.x + used, area.y + (area.h - draw::size_of(font)) * 0.5F, right.left - area.x - used - kBetween,
                  area.h};
  const std::string against = words::against(model);
  const bool fits = draw::extent(font, draw::size_of(font), against).x * 0.8F < rest.w;
  if (fits) draw::line(paper, font, paper.ink.dim, rest, against);
  return right.answer;
}

}  // namespace four76::views
