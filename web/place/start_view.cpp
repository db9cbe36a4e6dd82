// How to begin, while nothing runs; the ways themselves are the page's buttons.
#include <algorithm>
#include <string_view>

#include "core/phrase.hpp"
#include "web/place/view.hpp"
#include "web/tone/words.hpp"

namespace four76::views {
namespace {

void steps(const draw::Paper& paper, Rect area) {
  float y = area.y;
  int number = 1;
  for (const std::string_view step : words::first_steps()) {
    const float left = 2.2F * draw::size_of(paper.fonts.bold);
    const Rect row{area.x + left, y, area.w - left, area.bottom() - y};
    const float h = draw::paragraph_height(paper.fonts.text, row.w, step);
    if (y + h > area.bottom() + 1.0F) return;
    draw::line(paper, paper.fonts.bold, paper.ink.accent, {area.x, y, left, row.h}, std::to_string(number++));
    y += draw::paragraph(paper, paper.fonts.text, paper.ink.paper, row, step) + 6.0F;
  }
}

}  // namespace

Answer start(const Model& model, const draw::Paper& paper, Rect area) {
  draw::panel(paper, area);
  const Rect inside = area.inset(14.0F, 12.0F);
  if (model.phase == Phase::measuring_file) {
    const float part = static_cast<float>(model.file.fraction);
    paper.list.AddRectFilled({inside.x, inside.y}, {inside.right(), inside.y + 10.0F}, paper.ink.lifted, 5.0F);
    paper.list.AddRectFilled({inside.x, inside.y}, {inside.x + inside.w * part, inside.y + 10.0F}, paper.ink.accent,
                             5.0F);
    return std::nullopt;
  }
  steps(paper, inside);
  return std::nullopt;
}

}  // namespace four76::views
