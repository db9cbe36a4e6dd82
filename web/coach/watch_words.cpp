// The long watch in words: how the speed went over minutes to hours, and where nothing was heard.
#include "web/coach/words.hpp"

#include <algorithm>
#include <cmath>

#include "core/phrase.hpp"
#include "core/records/coach_text.hpp"
#include "core/records/figure_text.hpp"
#include "web/words/numbers.hpp"

namespace four76::words {
namespace {

std::string amount(double percent) { return fixed(std::fabs(percent), std::fabs(percent) < 0.095 ? 3 : 2) + " %"; }

std::string_view why(GapCause cause) noexcept {
  switch (cause) {
    case GapCause::no_tone: return tr("no tone##gap");
    case GapCause::call: return tr("a call or another program had the microphone");
    case GapCause::hidden: return tr("the page was hidden or the screen locked");
    case GapCause::stopped: return tr("it was stopped");
  }
  return "";
}

WatchWords shape_said(const SpeedCourse& course) {
  const std::string span = duration_text(course.span_s), by = amount(course.change_percent);
  const bool slower = course.change_percent < 0.0;
  switch (course.shape) {
    case SpeedShape::too_short: break;
    case SpeedShape::steady:
      return {say("It holds its speed"),
              say("Over {0} it wandered by {1}.", span, amount(2.0 * course.scatter_percent)),
              {}};
    case SpeedShape::sagging:
      return {say(slower ? Phrase("It sags by {0}") : Phrase("It creeps up by {0}"), by),
              say("In {0}, steadily. That is a belt, a motor or batteries; the trimmer does not mend it.", span),
              {}};
    case SpeedShape::warming_up:
      return {say("It is warming up: do not trim yet"),
              course.still_to_come_percent ? say("It moved by {0} in {1}; about {2} are still to come.", by, span,
                                                 amount(*course.still_to_come_percent))
                                           : say("It moved by {0} in {1}.", by, span),
              {}};
    case SpeedShape::tape_end:
      return {
          slower ? say("It slows towards the end of the side") : say("It quickens towards the end of the side"),
          say("By {0}, more and more: the tape's pack drags. Try another cassette before you look at the machine.", by),
          {}};
  }
  return {say("Three minutes tell something, a whole side tells all"), "", {}};
}

}  // namespace

WatchWords watch_says(const Model& model) {
  const SpeedWatch& watch = model.job.watch;
  if (!is_live(model)) return {say("Not watching"), say("It begins by itself with Listen."), {}};
  const SpeedCourse course = watch.judge();
  WatchWords said = shape_said(course);
  if (course.shape == SpeedShape::too_short) said.detail = say("So far {0}.", clock_text(watch.passed_s()));
  if (course.since_jump_s)
    said.detail += ' ' + say("Counted since the speed jumped at {0}: the trimmer was turned, or something slipped.",
                             clock_text(*course.since_jump_s));
  for (const SpeedGap& gap : watch.gaps())
    said.gaps.push_back(say("{0} to {1}: {2}", clock_text(gap.from_s), clock_text(gap.to_s), why(gap.cause)));
  if (watch.gaps_in_all() > watch.gaps().size())
    said.gaps.push_back(say("{0} more##gaps", std::to_string(watch.gaps_in_all() - watch.gaps().size())));
  return said;
}

}  // namespace four76::words
