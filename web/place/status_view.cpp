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
constexpr float kTarget = 44.0F;  // a finger's; the room above and below the row is theirs
constexpr float kAbout = 8.0F;

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
    const float w = std::max(kTarget, size.x + 18.0F);
    const Rect pill{result.left - w, row.y, w, row.h};
    const Rect target = pill.inset(0.0F, std::clamp(0.5F * (row.h - kTarget), -kAbout, 0.0F));
    const auto kind = unit == chosen ? DrawnControl::Kind::on : DrawnControl::Kind::off;
    const float y = row.y + (row.h - size.y) * 0.5F;
    if (draw::tapped(paper, control_value(unit).data(), target, name, kind)) result.answer = intent::ChooseUnit{unit};
    if (unit == chosen)
      paper.list.AddRect({pill.x, y - 3.0F}, {pill.right(), y + size.y + 3.0F}, paper.ink.accent, 5.0F, 0, 1.5F);
    draw::line(paper, font, unit == chosen ? paper.ink.paper : paper.ink.dim, {pill.x, y, pill.w, size.y}, name,
               draw::Align::centre);
    result.left = pill.x - 2.0F;
  }
  return result;
}

}  // namespace

Answer status(const Model& model, const draw::Paper& paper, Rect area) {
  // Where both do not fit side by side the units stand above.
  const bool narrow = paper.narrow;
  const Rect row{area.x, area.y, area.w, narrow ? 0.5F * area.h : area.h};
  const Units right = units(paper, row, model.settings.unit);
  const std::string line = words::status_line(model);
  const ImFont* bold = paper.fonts.bold;
  const Rect left =
      narrow ? Rect{area.x, row.bottom(), area.w, row.h} : Rect{area.x, area.y, right.left - area.x, area.h};
  const bool whole = draw::extent(bold, draw::size_of(bold), line).x + 16.0F + kBetween < left.w;
  const float used = is_demo(model) ? badge(paper, left, whole ? std::string_view(line) : tr("Demo"))
                                    : lamp(paper, left, model.phase == Phase::listening);
  const ImFont* font = paper.fonts.text;
  const Rect rest{left.x + used, left.y + (left.h - draw::size_of(font)) * 0.5F, left.w - used - kBetween, left.h};
  const std::string against = words::against(model);
  const bool fits = draw::extent(font, draw::size_of(font), against).x * 0.8F < rest.w;
  if (fits) draw::line(paper, font, paper.ink.dim, rest, against);
  return right.answer;
}

}  // namespace four76::views
