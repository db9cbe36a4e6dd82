// Causes: what a repairer would say of the wow and flutter, and what it comes from. A tap leads to why and what to do.
#include <algorithm>
#include <string>

#include "web/flutter/causes/view.hpp"
#include "web/flutter/causes/words.hpp"

namespace four76::views {

Answer causes(const Model& model, const draw::Paper& paper, Rect area) {
  const words::FlutterVerdict said = words::flutter_verdict(model);
  draw::panel(paper, area);
  const bool pressed = draw::tapped(paper, "causes", area, words::why_name());
  const ImU32 colour = said.warns ? paper.ink.warning : paper.ink.accent;
  paper.list.AddRectFilled({area.x, area.y + 6.0F}, {area.x + 4.0F, area.bottom() - 6.0F}, colour, 2.0F);
  const ImFont* small = paper.fonts.small;
  const float foot = draw::size_of(small) + 4.0F;
  Rect inside = area.inset(14.0F, 6.0F);
  draw::line(paper, small, paper.ink.accent, {inside.x, inside.bottom() - foot + 2.0F, inside.w, foot},
             words::why_name(), draw::Align::right);
  inside.h -= foot;
  const bool both = !said.headline.empty() && !said.detail.empty();
  const float wanted = draw::paragraph_height(paper.fonts.text, inside.w, said.headline);
  const float head = both ? std::min(wanted, 0.62F * inside.h) : inside.h;
  if (!said.headline.empty()) {
    const float used =
        draw::paragraph(paper, paper.fonts.text, paper.ink.paper, {inside.x, inside.y, inside.w, head}, said.headline);
    inside.y += used + 2.0F;
    inside.h -= used + 2.0F;
  }
  if (paper.narrow) {
    draw::paragraph(paper, paper.fonts.text, paper.ink.dim, inside, said.detail);
    return pressed ? Answer(intent::ShowHelp{"causes"}) : std::nullopt;
  }
  // As many whole lines of the causes as there is room for.
  const float step = draw::size_of(paper.fonts.text) * 1.15F;
  std::string_view rest = said.detail;
  while (!rest.empty() && inside.h >= step) {
    const std::string_view first = rest.substr(0, rest.find('\n'));
    draw::line(paper, paper.fonts.text, paper.ink.dim, {inside.x, inside.y, inside.w, step}, first);
    rest.remove_prefix(std::min(rest.size(), first.size() + 1));
    inside.y += step;
    inside.h -= step;
  }
  return pressed ? Answer(intent::ShowHelp{"causes"}) : std::nullopt;
}

}  // namespace four76::views
