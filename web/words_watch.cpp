// The long watch in words: how the speed went over minutes to hours, and where nothing was heard.
#include <algorithm>
#include <cmath>

#include "core/records/coach_text.hpp"
#include "core/records/figure_text.hpp"
#include "web/words.hpp"

namespace four76::words {
namespace {

std::string amount(double percent) { return fixed(std::fabs(percent), std::fabs(percent) < 0.095 ? 3 : 2) + " %"; }

std::string_view why(GapCause cause) noexcept {
  switch (cause) {
    case GapCause::no_tone: return "no tone";
    case GapCause::call: return "a call or another program had the microphone";
    case GapCause::hidden: return "the page was hidden or the screen locked";
    case GapCause::stopped: return "it was stopped";
  }
  return "";
}

WatchWords shape_said(const SpeedCourse& course) {
  const std::string span = duration_text(course.span_s), by = amount(course.change_percent);
  const bool slower = course.change_percent < 0.0;
  switch (course.shape) {
    case SpeedShape::too_short: break;
    case SpeedShape::steady:
      return {
          "It holds its speed", "Over " + span + " it wandered by " + amount(2.0 * course.scatter_percent) + ".", {}};
    case SpeedShape::sagging:
      return {std::string(slower ? "It sags" : "It creeps up") + " by " + by,
              "In " + span + ", steadily. That is a belt, a motor or batteries; the trimmer does not mend it.",
              {}};
    case SpeedShape::warming_up: {
      std::string detail = "It moved by " + by + " in " + span;
      if (course.still_to_come_percent)
        detail += "; about " + amount(*course.still_to_come_percent) + " are still to come";
      return {"It is warming up: do not trim yet", detail + ".", {}};
    }
    case SpeedShape::tape_end:
      return {
          std::string(slower ? "It slows" : "It quickens") + " towards the end of the side",
          "By " + by + ", more and more: the tape's pack drags. Try another cassette before you look at the machine.",
          {}};
  }
  return {"Three minutes tell something, a whole side tells all", "", {}};
}

}  // namespace

WatchWords watch_says(const Model& model) {
  const SpeedWatch& watch = model.job.watch;
  if (!is_live(model)) return {"Nothing is being watched", "It begins by itself with Listen.", {}};
  const SpeedCourse course = watch.judge();
  WatchWords said = shape_said(course);
  if (course.shape == SpeedShape::too_short) said.detail = "So far " + clock_text(watch.passed_s()) + ".";
  if (course.since_jump_s)
    said.detail += " Counted since the speed jumped at " + clock_text(*course.since_jump_s) +
                   ": the trimmer was turned, or something slipped.";
  for (const SpeedGap& gap : watch.gaps())
    said.gaps.push_back(clock_text(gap.from_s) + " to " + clock_text(gap.to_s) + ": " + std::string(why(gap.cause)));
  if (watch.gaps_in_all() > watch.gaps().size())
    said.gaps.push_back(std::to_string(watch.gaps_in_all() - watch.gaps().size()).append(" more"));
  return said;
}

}  // namespace four76::words
