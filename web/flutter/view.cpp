// Wow and flutter's figures: the weighted one large, the others under or beside it. The way back to the speed stands on
// top.
#include <algorithm>
#include <string>

#include "web/flutter/view.hpp"
#include "web/flutter/words.hpp"

namespace four76::views {
namespace {

using draw::Align;

constexpr float kWayHeight = 44.0F;    // a finger's
constexpr float kListedShare = 0.58F;  // of what the large figure leaves, for the others
constexpr float kLeastStep = 1.15F;    // from one of them to the next, of the text's size

// The digits of the reading's font, as large as fits.
void large(const draw::Paper& paper, Rect area, const Model& model) {
  const auto figure = words::flutter_figure(model);
  if (!figure) {
    const float h = draw::paragraph_height(paper.fonts.strong, area.w, words::flutter_state(model));
    draw::paragraph(paper, paper.fonts.strong, paper.ink.dim,
                    {area.x, area.y + std::max(0.0F, 0.5F * (area.h - h)), area.w, area.h},
                    words::flutter_state(model));
    return;
  }
  const ImFont* font = paper.fonts.figure;
  const std::string text = figure->number + " " + figure->unit;
  const ImVec2 unit = draw::extent(font, 1.0F, text);
  const float size = std::min({area.h / 0.8F, area.w / std::max(unit.x, 0.1F), draw::size_of(font)});
  const float w = draw::extent(font, size, text).x;
  paper.list.AddText(font, size, {area.x + std::max(0.0F, 0.5F * (area.w - w)), area.y + 0.5F * area.h - 0.46F * size},
                     paper.ink.paper, text.c_str());
}

void rows(const draw::Paper& paper, Rect area, const std::vector<words::BudgetLine>& lines) {
  const ImFont* font = paper.fonts.text;
  const bool narrow = paper.narrow;  // then the amount stands under its name
  const float most = (narrow ? 2.9F : 1.5F) * draw::size_of(font);
  const float step = std::min(area.h / static_cast<float>(lines.size()), most);
  Rect at{area.x, area.y, area.w, step};
  for (const words::BudgetLine& line : lines) {
    if (narrow) {
      draw::line(paper, paper.fonts.small, paper.ink.dim, at, line.name);
      draw::line(paper, font, paper.ink.paper, {at.x, at.y + 0.42F * step, at.w, at.h}, line.amount, Align::right);
      at.y += step;
      continue;
    }
    const float name_w = std::min(0.55F * area.w, draw::extent(font, draw::size_of(font), line.name).x);
    draw::line(paper, font, paper.ink.dim, {at.x, at.y, name_w + 1.0F, at.h}, line.name);
    draw::line(paper, font, paper.ink.paper, {at.x + name_w + 8.0F, at.y, at.w - name_w - 8.0F, at.h}, line.amount,
               Align::right);
    at.y += step;
  }
}

float way_width(const draw::Paper& paper) {
  const ImFont* font = paper.fonts.bold;
  return draw::extent(font, draw::size_of(font), words::way_to_speed()).x + 24.0F;
}

Answer way_back(const draw::Paper& paper, Rect panel) {
  const ImFont* font = paper.fonts.bold;
  const float w = way_width(paper);
  const Rect area{panel.right() - w, panel.y, w, kWayHeight};
  const bool pressed = draw::tapped(paper, "to-speed", area, words::way_to_speed());
  draw::line(paper, font, paper.ink.accent, {area.x, area.y + 8.0F, w - 12.0F, area.h}, words::way_to_speed(),
             Align::right);
  return pressed ? Answer(intent::ChooseView{View::speed}) : std::nullopt;
}

}  // namespace

Answer flutter(const Model& model, const draw::Paper& paper, Rect area) {
  draw::panel(paper, area);
  const Answer answer = way_back(paper, area);
  const bool narrow = paper.narrow;
  Rect inside = area.inset(12.0F, 8.0F);
  if (narrow) inside = {inside.x, area.y + kWayHeight, inside.w, area.h - kWayHeight - 8.0F};
  const float text = draw::size_of(paper.fonts.text), title = 1.4F * text;
  draw::line(paper, paper.fonts.text, paper.ink.dim,
             {inside.x, inside.y, inside.w - (narrow ? 0.0F : way_width(paper)), title}, words::flutter_title(model));
  const std::string noise = words::flutter_noise(model);
  const std::vector<words::BudgetLine> lines = words::flutter_lines(model);
  float foot = std::min(0.2F * inside.h, draw::paragraph_height(paper.fonts.small, inside.w, noise) + 2.0F);
  // On the lowest phone the figures need the sentence's place.
  if (kListedShare * (inside.h - title - foot) < kLeastStep * text * static_cast<float>(lines.size())) foot = 0.0F;
  const float listed =
      std::min((narrow ? 15.2F : 7.6F) * text, (narrow ? 0.7F : kListedShare) * (inside.h - title - foot));
  const Rect head{inside.x, inside.y + title, inside.w, inside.h - title - listed - foot};
  large(paper, head.inset(0.0F, 2.0F), model);
  rows(paper, {inside.x, head.bottom(), inside.w, listed}, lines);
  if (foot > 0.0F)
    draw::paragraph(paper, paper.fonts.small, paper.ink.dim, {inside.x, inside.bottom() - foot, inside.w, foot}, noise);
  return answer;
}

}  // namespace four76::views
