// The ribbon: the channel's trail on a strip of tape. Blank tape where nothing was measured.
#include "web/draw/ribbon.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include "core/phrase.hpp"
#include "web/tone/view.hpp"
#include "web/tone/words.hpp"

namespace four76::views {

namespace {

// The tape runs on between two readings; where none comes it stands.
constexpr double kLongestGlideS = 0.15;

// The weighted deviation about the steady line, where there is one.
std::vector<TraceRange> about_the_line(const ChannelSnapshot& channel) {
  std::vector<TraceRange> shifted;
  std::size_t at = 0;
  for (TraceRange range : channel.weighted) {
    while (at + 1 < channel.trail.size() && channel.trail[at].time_s < range.time_s) ++at;
    if (at >= channel.trail.size() || channel.trail[at].status == Status::no_tone) continue;
    const auto line = static_cast<float>(channel.trail[at].speed_error_percent);
    range.lowest_percent += line;
    range.highest_percent += line;
    shifted.push_back(range);
  }
  return shifted;
}

}  // namespace

Answer ribbon(const Model& model, const draw::Paper& paper, Rect area) {
  draw::RibbonContent content;
  std::vector<TraceRange> weighted;
  const Trace trace = in_song(model) ? Trace::steady : model.settings.trace;  // a song has no other
  const std::string span = say("the last 30 s") + ", " + std::string(words::trace_name(trace));
  content.span_name = span;
  content.tolerance_percent = model.settings.tolerance_percent;
  if (const ChannelSnapshot* channel = shown_channel(model)) {
    content.trail = channel->trail;
    if (trace == Trace::raw) content.raw = channel->raw;
    if (trace == Trace::weighted) {
      weighted = about_the_line(*channel);
      content.raw = weighted;
    }
    if (!channel->trail.empty())
      content.now_s = channel->trail.back().time_s + std::min(model.since_reading_s, kLongestGlideS);
    content.writing = is_live(model) && !model.interrupted.any();
  }
  draw::ribbon(paper, area, content);
  if (in_song(model)) return std::nullopt;
  return draw::tapped(paper, "ribbon", area, span) ? Answer(intent::NextTrace{}) : std::nullopt;
}

}  // namespace four76::views
