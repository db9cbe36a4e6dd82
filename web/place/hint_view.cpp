// The hint: what to do now, in words, with a mark of its own for each way. Where the words name a next step that the
// page can take, a button stands beside them.
#include <algorithm>

#include "core/phrase.hpp"
#include "web/place/view.hpp"
#include "web/tone/words.hpp"
#include "web/words/hint.hpp"
#include "web/words/numbers.hpp"

namespace four76::views {
namespace {

constexpr float kStep = 48.0F;  // a button's height

struct Look {
  draw::Mark mark;
  ImU32 colour;
};

Look look_of(words::Way way, const theme::Colours& ink) {
  using words::Way;
  switch (way) {
    case Way::none: return {draw::Mark::hub, ink.accent};
    case Way::slower: return {draw::Mark::down, ink.accent};
    case Way::faster: return {draw::Mark::up, ink.accent};
    case Way::leave: return {draw::Mark::tick, ink.paper};
    case Way::wait: return {draw::Mark::dots, ink.dim};
    case Way::distrust: return {draw::Mark::alert, ink.warning};
  }
  return {draw::Mark::none, ink.dim};
}

// Whether there is more to be said than the hint has room for.
bool has_more(const Model& model) {
  const Reading* reading = shown_reading(model);
  if (follows_song(model) && words::hint(model).way == words::Way::wait) return false;
  const bool of_song = model.song.result && !model.song.result->match.reasons.empty();
  return reading && (of_song || !reading->reasons.empty()) && !checks_clock(model);
}

// Whether the hint sends somebody to the screw of a real machine: the cautions are one tap away then.
bool sends_to_the_screw(const Model& model, words::Way way) {
  return is_live(model) && model.phase != Phase::demo && (way == words::Way::slower || way == words::Way::faster);
}

Answer next_step(const Model& model, const draw::Paper& paper, Rect area) {
  const bool stacked = area.h > kStep;
  const Rect first = stacked ? Rect{area.x, area.y, area.w, (area.h - 8.0F) * 0.5F}
                             : Rect{area.x, area.y, (area.w - 8.0F) * 0.5F, area.h};
  const Rect second = stacked ? Rect{area.x, first.bottom() + 8.0F, first.w, first.h}
                              : Rect{first.right() + 8.0F, area.y, first.w, area.h};
  if (const auto tone = suggested_tone_hz(model)) {
    if (draw::button(paper, "choose-tone", is_held(model) ? area : first, say("Use {0}", words::tone_name(*tone)),
                     true))
      return intent::ChooseTone{*tone};
    if (!is_held(model) &&
        draw::button(paper, "sure", second, say("Keep {0}", words::tone_name(model.settings.nominal_hz))))
      return intent::SureOfTone{};
  } else if (const auto tones = candidates_hz(model)) {
    if (draw::button(paper, "near-louder", first, words::tone_heard((*tones)[0])))
      return intent::ChooseNear{(*tones)[0]};
    if (draw::button(paper, "near-softer", second, words::tone_heard((*tones)[1])))
      return intent::ChooseNear{(*tones)[1]};
  } else if (has_more(model)) {
    if (draw::button(paper, "more", area, tr("More"))) return intent::ShowHelp{"trouble"};
  } else if (draw::button(paper, "safety", area, tr("Safety"))) {
    return intent::ShowHelp{"safety"};
  }
  return std::nullopt;
}

// What to do, and smaller what is to be said of it.
void sentences(const draw::Paper& paper, Rect text, const words::Hint& now) {
  const float above = draw::paragraph_height(paper.fonts.strong, text.w, now.text);
  const float below = draw::paragraph_height(paper.fonts.text, text.w, now.detail);
  const float spare = std::max(0.0F, text.h - above - below - 3.0F), end = text.bottom() + 1.0F;
  text.y += spare * 0.5F;
  const float room = now.detail.empty() ? text.h - spare * 0.5F : std::max(text.h * 0.45F, text.h - below - 3.0F);
  const float used =
      draw::paragraph(paper, paper.fonts.strong, paper.ink.paper, {text.x, text.y, text.w, room}, now.text);
  const float y = text.y + used + 3.0F;
  draw::paragraph(paper, paper.fonts.text, paper.ink.dim, {text.x, y, text.w, end - y}, now.detail);
}

// Large text on a phone: the mark, the words and the buttons under each other.
Answer narrow_hint(const Model& model, const draw::Paper& paper, Rect area, const words::Hint& now, const Look& look) {
  constexpr float kRadius = 13.0F;
  paper.list.AddRectFilled({area.x, area.y + 6.0F}, {area.x + 4.0F, area.bottom() - 6.0F}, look.colour, 2.0F);
  draw::mark(paper, look.mark, {area.x + 14.0F + kRadius, area.y + 8.0F + kRadius}, kRadius, look.colour);
  const bool asks = suggested_tone_hz(model) || candidates_hz(model);
  const bool any = asks || has_more(model) || sends_to_the_screw(model, now.way);
  const float steps = !any ? 0.0F : asks && !is_held(model) ? 2.0F * kStep : kStep;
  const float top = area.y + 2.0F * kRadius + 12.0F;
  const float w = area.w - 20.0F;
  const float wanted = draw::paragraph_height(paper.fonts.strong, w, now.text) +
                       draw::paragraph_height(paper.fonts.text, w, now.detail) + 4.0F;
  sentences(paper, {area.x + 12.0F, top, w, std::min(wanted, area.bottom() - 8.0F - steps - top)}, now);
  if (!any) return std::nullopt;
  return next_step(model, paper, {area.x + 10.0F, area.bottom() - steps - 6.0F, area.w - 18.0F, steps});
}

}  // namespace

Answer hint(const Model& model, const draw::Paper& paper, Rect area) {
  const words::Hint now = words::hint(model);
  const Look look = look_of(now.way, paper.ink);
  draw::panel(paper, area);
  if (paper.narrow) return narrow_hint(model, paper, area, now, look);
  const float radius = std::min({area.h * 0.34F, area.w * 0.08F, 32.0F}), left = 2.0F * radius + 26.0F;
  paper.list.AddRectFilled({area.x, area.y + 6.0F}, {area.x + 4.0F, area.bottom() - 6.0F}, look.colour, 2.0F);
  draw::mark(paper, look.mark, {area.x + 14.0F + radius, area.y + area.h * 0.5F}, radius, look.colour);

  const float letter = draw::size_of(paper.fonts.text);
  const bool asks = suggested_tone_hz(model) || candidates_hz(model);
  const float step = asks                                 ? std::min(268.0F, area.w * 0.5F)
                     : has_more(model)                    ? std::max(48.0F, 4.4F * letter)
                     : sends_to_the_screw(model, now.way) ? std::max(48.0F, 6.4F * letter)
                                                          : 0.0F;
  const Rect text =
      Rect{area.x + left, area.y, area.w - left - 10.0F - (step > 0.0F ? step + 8.0F : 0.0F), area.h}.inset(0.0F, 6.0F);
  sentences(paper, text, now);
  if (step == 0.0F) return std::nullopt;
  return next_step(model, paper,
                   {area.right() - step - 8.0F, area.y + std::max(6.0F, (area.h - kStep) * 0.5F), step,
                    std::min(kStep, area.h - 12.0F)});
}

}  // namespace four76::views
