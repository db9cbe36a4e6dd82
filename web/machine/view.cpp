// Measure: a timed run at a place of the tape, and what came out at each.
#include <algorithm>
#include <string>

#include "web/machine/view.hpp"
#include "web/machine/words.hpp"

namespace four76::views {
namespace {

constexpr float kButton = 44.0F, kGap = 8.0F;

Answer buttons(const draw::Paper& paper, Rect row, const Model& model) {
  const bool stacked = paper.narrow;
  const float w = stacked ? row.w : (row.w - kGap) * 0.5F;
  const Rect left{row.x, row.y, w, kButton};
  const Rect right =
      stacked ? Rect{row.x, row.bottom() - kButton, w, kButton} : Rect{row.x + w + kGap, row.y, w, kButton};
  const bool pressed = draw::button(paper, "measure", left, words::measure_name(model), !measures(model));
  const bool turned = draw::button(paper, "place", right, words::place_name(model.machine.place));
  if (pressed) return intent::Measure{};
  if (!turned) return std::nullopt;
  return intent::ChoosePlace{kTapePlaces[(static_cast<std::size_t>(model.machine.place) + 1) % kTapePlaces.size()]};
}

float progress(const draw::Paper& paper, Rect area, double part) {
  constexpr float kHeight = 10.0F;
  const float w = area.w * std::clamp(static_cast<float>(part), 0.0F, 1.0F);
  paper.list.AddRectFilled({area.x, area.y}, {area.right(), area.y + kHeight}, paper.ink.lifted, 5.0F);
  paper.list.AddRectFilled({area.x, area.y}, {area.x + w, area.y + kHeight}, paper.ink.accent, 5.0F);
  return kHeight + 6.0F;
}

// What is under way first; then the results and how they differ.
std::string text_of(const Model& model) {
  std::string text = words::measure_said(model);
  const auto add = [&](const std::string& line) {
    if (!line.empty()) text += (text.empty() ? "" : "\n") + line;
  };
  add(words::measured_difference(model));
  for (const std::string& line : words::measured(model)) add(line);
  return text.empty() ? words::measure_invitation() : text;
}

}  // namespace

Answer measure(const Model& model, const draw::Paper& paper, Rect area) {
  draw::panel(paper, area);
  Rect inside = area.inset(8.0F, 6.0F);
  Answer answer;
  if (can_measure(model)) {
    const float h = paper.narrow ? 2.0F * kButton + kGap : kButton;
    answer = buttons(paper, {inside.x, inside.y, inside.w, h}, model);
    inside.y += h + kGap;
    inside.h -= h + kGap;
  }
  if (measures(model)) {
    const float used = progress(paper, inside, model.machine.run->heard_s / model.machine.run->seconds);
    inside.y += used;
    inside.h -= used;
  }
  draw::paragraph(paper, paper.fonts.text, paper.ink.paper, inside.inset(4.0F, 0.0F), text_of(model));
  return answer;
}

}  // namespace four76::views
