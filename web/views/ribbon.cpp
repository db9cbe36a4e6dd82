// The ribbon: the channel's trail on a strip of tape. Blank tape where nothing was measured.
#include "web/draw/ribbon.hpp"

#include "web/views/views.hpp"

namespace four76::views {

Answer ribbon(const Model& model, const draw::Paper& paper, Rect area) {
  draw::RibbonContent content;
  content.tolerance_percent = model.settings.tolerance_percent;
  if (const ChannelSnapshot* channel = shown_channel(model)) {
    content.trail = channel->trail;
    if (!channel->trail.empty()) content.now_s = channel->trail.back().time_s;
    content.writing = is_live(model) && !model.interrupted.any();
  }
  draw::ribbon(paper, area, content);
  return std::nullopt;
}

}  // namespace four76::views
