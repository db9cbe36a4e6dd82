// The ribbon: the channel's trail on a strip of tape. Blank tape where nothing was measured.
#include "web/draw/ribbon.hpp"

#include <string>

#include "web/views/views.hpp"
#include "web/words.hpp"

namespace four76::views {

Answer ribbon(const Model& model, const draw::Paper& paper, Rect area) {
  draw::RibbonContent content;
  const std::string span = "the last 30 s, " + std::string(words::trace_name(model.settings.trace));
  content.span_name = span;
  content.tolerance_percent = model.settings.tolerance_percent;
  if (const ChannelSnapshot* channel = shown_channel(model)) {
    content.trail = channel->trail;
    if (model.settings.trace == Trace::raw) content.raw = channel->raw;
    if (!channel->trail.empty()) content.now_s = channel->trail.back().time_s;
    content.writing = is_live(model) && !model.interrupted.any();
  }
  const bool pressed = draw::tapped("ribbon", area);
  draw::ribbon(paper, area, content);
  return pressed ? Answer(intent::NextTrace{}) : std::nullopt;
}

}  // namespace four76::views
