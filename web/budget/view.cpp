// The error budget: its four terms and their sum, each with a bar to the scale of the sum. A tap opens the words to it.
#include <algorithm>
#include <array>
#include <string>

#include "core/phrase.hpp"
#include "web/budget/budget.hpp"
#include "web/budget/view.hpp"
#include "web/budget/words.hpp"

namespace four76::views {
namespace {

constexpr float kBarPart = 0.3F;  // of the panel's width

float amount_width(const ImFont* font) { return draw::extent(font, draw::size_of(font), "\u00b10.0000 % ").x; }

void term(const draw::Paper& paper, Rect area, const words::BudgetLine& line, std::optional<double> part) {
  const ImFont* font = paper.fonts.text;
  const float amount_w = amount_width(font), bar_w = kBarPart * area.w;
  const float name_w = area.w - amount_w - bar_w - 16.0F, y = area.y + 0.5F * draw::size_of(font);
  draw::line(paper, font, paper.ink.dim, {area.x, area.y, name_w, area.h}, line.name);
  if (part) {
    const float x = area.x + name_w + 8.0F, w = bar_w * std::clamp(static_cast<float>(*part), 0.0F, 1.0F);
    paper.list.AddRectFilled({x, y - 3.0F}, {x + bar_w, y + 3.0F}, paper.ink.lifted, 3.0F);
    paper.list.AddRectFilled({x, y - 3.0F}, {x + std::max(2.0F, w), y + 3.0F}, paper.ink.accent, 3.0F);
  }
  draw::line(paper, font, part ? paper.ink.paper : paper.ink.dim, {area.right() - amount_w, area.y, amount_w, area.h},
             line.amount, draw::Align::right);
}

void sum(const draw::Paper& paper, Rect area, const words::BudgetLine& line) {
  const ImFont* font = paper.fonts.bold;
  const float amount_w = amount_width(font);
  draw::line(paper, font, paper.ink.paper, {area.x, area.y, area.w - amount_w, area.h}, line.name);
  draw::line(paper, font, paper.ink.paper, {area.right() - amount_w, area.y, amount_w, area.h}, line.amount,
             draw::Align::right);
}

}  // namespace

Answer budget(const Model& model, const draw::Paper& paper, Rect area) {
  const bool pressed = draw::tapped(paper, "budget", area, tr("Error budget"));
  draw::panel(paper, area);
  const Rect inside = area.inset(12.0F, 8.0F);
  const auto all = four76::budget(model);
  const Answer answer = pressed ? Answer(intent::ShowHelp{"budget"}) : std::nullopt;
  if (!all || !all->terms.sum_percent) {
    draw::paragraph(paper, paper.fonts.text, paper.ink.dim, inside, words::budget_sum(model).note);
    return answer;
  }
  const ErrorBudget& terms = all->terms;
  const std::array parts = {terms.noise_percent, terms.wow_percent, terms.clock_percent, terms.tape_percent};
  const std::vector<words::BudgetLine> lines = words::budget_terms(model);
  const float step = std::min(inside.h / 5.0F, 2.4F * draw::size_of(paper.fonts.text));
  Rect at{inside.x, inside.y, inside.w, step};
  for (std::size_t i = 0; i < lines.size(); ++i, at.y += step)
    term(paper, at, lines[i], parts[i] ? std::optional(*parts[i] / *terms.sum_percent) : std::nullopt);
  paper.list.AddLine({at.x, at.y - 0.2F * step}, {at.right(), at.y - 0.2F * step}, paper.ink.line, 1.0F);
  sum(paper, at, words::budget_sum(model));
  return answer;
}

}  // namespace four76::views
