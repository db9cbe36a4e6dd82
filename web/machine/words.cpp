#include "web/machine/words.hpp"

#include <algorithm>
#include <cmath>

#include "core/phrase.hpp"
#include "web/flutter/words.hpp"
#include "web/tone/words.hpp"
#include "web/words/advice.hpp"
#include "web/words/numbers.hpp"

namespace four76::words {
namespace {

// Within a line.
std::string_view place_within(TapePlace place) noexcept {
  switch (place) {
    case TapePlace::start: return tr("start of tape");
    case TapePlace::middle: return tr("middle of tape");
    case TapePlace::end: return tr("end of tape");
    case TapePlace::unsaid: break;
  }
  return "";
}

std::string_view why_again(MeasureRun::Again why) noexcept {
  switch (why) {
    case MeasureRun::Again::turned: return tr("The speed changed on the way: it began again.");
    case MeasureRun::Again::lost: return tr("The tone was lost on the way: it began again.");
    case MeasureRun::Again::no: break;
  }
  return tr("A turn of the screw would begin it again.");
}

std::string line_of(TapePlace place, const TapeMeasurement& made) {
  return say("{0}: {1} of {2}, weighted flutter {3}, drift {4}, {5}", place_name(place),
             speed_error(made.whole) + " " + uncertainty(made.whole, Unit::percent), hertz(made.nominal_hz),
             flutter_amount(made.flutter.weighted_two_sigma), drift_amount(made.flutter.drift),
             fixed(made.whole.trusted_s, 0) + " s");
}

}  // namespace

std::string_view place_name(TapePlace place) noexcept {
  switch (place) {
    case TapePlace::start: return tr("Start of tape");
    case TapePlace::middle: return tr("Middle of tape");
    case TapePlace::end: return tr("End of tape");
    case TapePlace::unsaid: break;
  }
  return tr("Anywhere");
}

std::string_view stage_name(VisitStage stage) noexcept {
  switch (stage) {
    case VisitStage::as_found: return tr("As found");
    case VisitStage::as_left: return tr("As left");
    case VisitStage::between: break;
  }
  return tr("In between");
}

std::string measure_name(const Model& model) {
  return measures(model) ? say("Break off") : say("Measure {0}", fixed(model.settings.visit_s, 0) + " s");
}

std::string visit_kept(const Measurement& visit) {
  const auto speed = speed_of(visit);
  std::string said(stage_name(visit.stage));
  if (speed) {
    const int decimals = std::max(1, supported_decimals(speed->u95_percent, 3));
    said += ": " + signed_fixed(speed->percent, decimals) + " " + plus_minus(speed->u95_percent, decimals) + " %";
  }
  if (visit.place != TapePlace::unsaid) said += ", " + std::string(place_within(visit.place));
  return said + ". " + say("It is on the card.");
}

std::string speed_moved() { return say("The speed changed on the way: it is a mean of several speeds."); }

std::string visit_refused(const Model& model) {
  const std::string_view stage = stage_name(model.machine.run->kept_as.value_or(VisitStage::between));
  return say("{0}: nothing was put on the card.", stage) + ' ' + measure_said(model);
}

std::string_view cards_said(CardsState state) noexcept {
  switch (state) {
    case CardsState::kept: return "";
    case CardsState::refused:
      return tr("This browser keeps nothing for this page: the cards last until it is closed. Save them as a file.");
    case CardsState::full:
      return tr(
          "There is no room left on this device: what was measured last is not kept. Save the cards as a file, then "
          "make room.");
    case CardsState::set_aside:
      return tr("Something on the cards was damaged. It was set aside and is not lost: the cards say what it was.");
  }
  return "";
}

std::string measure_invitation() {
  return say(
      "Measure at the start of the tape, wind on, and measure at its end: a tired motor or belt shows between them.");
}

std::string measure_said(const Model& model) {
  if (!model.machine.run) return "";
  const MeasureRun& run = *model.machine.run;
  if (run.stage == MeasureRun::Stage::refused) {
    std::string said = say("No reading that can be trusted came out.");
    if (!run.reasons.empty()) said.append(" ").append(advice(*run.reasons.begin(), model).what);
    return said;
  }
  const std::string heard = fixed(std::floor(run.heard_s), 0), wanted = fixed(run.seconds, 0);
  const std::string so_far = say("{0} of {1} s of tone heard.", heard, wanted);
  if (run.lost) return say("The tone is lost: it goes on when it is back.") + ' ' + so_far;
  if (run.losses == 0) return so_far;
  return say(run.losses == 1 ? Phrase("{0} of {1} s of tone heard; the tone was lost once.")
                             : Phrase("{0} of {1} s of tone heard; the tone was lost {2} times."),
             heard, wanted, fixed(run.losses, 0));
}

std::optional<Hint> measure_hint(const Model& model) {
  if (!measures(model)) return std::nullopt;
  const MeasureRun& run = *model.machine.run;
  const std::string left = fixed(std::ceil(std::max(0.0, run.seconds - run.heard_s)), 0);
  return Hint{Way::wait, say("Hands off, {0} s", left), std::string(why_again(run.again))};
}

std::string tape_at_hand(const Model& model) {
  const std::string limit = percent(model.settings.tolerance_percent);
  return in_song(model) ? say("a song, {0}", limit) : tone_name(model.settings.nominal_hz) + ", " + limit;
}

std::vector<std::string> measured(const Model& model) {
  std::vector<std::string> lines;
  for (const TapePlace place : kTapePlaces)
    if (const auto& made = model.machine.measured[static_cast<std::size_t>(place)])
      lines.push_back(line_of(place, *made));
  return lines;
}

// Of the two places that lie furthest apart.
std::string measured_difference(const Model& model) {
  TapePlace first = TapePlace::unsaid, last = TapePlace::unsaid;
  for (const TapePlace place : {TapePlace::start, TapePlace::middle, TapePlace::end}) {
    if (!model.machine.measured[static_cast<std::size_t>(place)]) continue;
    if (first == TapePlace::unsaid) first = place;
    last = place;
  }
  if (first == last) return "";
  const TapeMeasurement& here = *model.machine.measured[static_cast<std::size_t>(first)];
  const TapeMeasurement& there = *model.machine.measured[static_cast<std::size_t>(last)];
  if (here.nominal_hz != there.nominal_hz) return "";
  const double apart = *there.whole.speed_error_percent - *here.whole.speed_error_percent;
  const double u95 = std::hypot(*there.whole.u95_percent, *here.whole.u95_percent);
  const int decimals = std::max(1, supported_decimals(u95, 3));
  if (std::fabs(apart) <= u95) return say("Both places run alike, within {0}.", plus_minus(u95, decimals) + " %");
  return say(apart > 0.0 ? Phrase("{0} the tape runs {1} faster than {2}, {3}.")
                         : Phrase("{0} the tape runs {1} slower than {2}, {3}."),
             last == TapePlace::middle ? tr("At its middle") : tr("At its end"),
             fixed(std::fabs(apart), decimals) + " %",
             first == TapePlace::middle ? tr("at its middle") : tr("at its start"), plus_minus(u95, decimals) + " %");
}

}  // namespace four76::words
