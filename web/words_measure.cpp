// The measurement's part of words: a timed run at a place of the tape, and what is kept of one on a card.
#include <algorithm>
#include <cmath>

#include "web/words.hpp"

namespace four76::words {
namespace {

std::string lower_first(std::string_view text) {
  std::string lower(text);
  if (!lower.empty() && lower[0] >= 'A' && lower[0] <= 'Z') lower[0] = static_cast<char>(lower[0] - 'A' + 'a');
  return lower;
}

std::string line_of(TapePlace place, const TapeMeasurement& made) {
  std::string line = std::string(place_name(place)) + ": " + speed_error(made.whole) + " " +
                     uncertainty(made.whole, Unit::percent) + " of " + hertz(made.nominal_hz);
  line += ", weighted flutter " + flutter_amount(made.flutter.weighted_two_sigma);
  line += ", drift " + drift_amount(made.flutter.drift);
  return line + ", " + fixed(made.whole.trusted_s, 0) + " s";
}

}  // namespace

std::string_view place_name(TapePlace place) noexcept {
  switch (place) {
    case TapePlace::start: return "Start of tape";
    case TapePlace::middle: return "Middle of tape";
    case TapePlace::end: return "End of tape";
    case TapePlace::unsaid: break;
  }
  return "Anywhere";
}

std::string_view stage_name(VisitStage stage) noexcept {
  switch (stage) {
    case VisitStage::as_found: return "As found";
    case VisitStage::as_left: return "As left";
    case VisitStage::between: break;
  }
  return "In between";
}

std::string measure_name(const Model& model) {
  return measures(model) ? "Break off" : "Measure " + fixed(model.settings.visit_s, 0) + " s";
}

std::string visit_kept(const Measurement& visit) {
  const auto speed = speed_of(visit);
  std::string said(stage_name(visit.stage));
  if (speed) {
    const int decimals = std::max(1, supported_decimals(speed->u95_percent, 3));
    said += ": " + signed_fixed(speed->percent, decimals) + " " + plus_minus(speed->u95_percent, decimals) + " %";
  }
  if (visit.place != TapePlace::unsaid) said += ", " + lower_first(place_name(visit.place));
  return said + ". It is on the card.";
}

std::string visit_refused(const Model& model) {
  const std::string_view stage = stage_name(model.measure_run->kept_as.value_or(VisitStage::between));
  return std::string(stage) + ": nothing was put on the card. " + measure_said(model);
}

std::string_view cards_said(CardsState state) noexcept {
  switch (state) {
    case CardsState::kept: return "";
    case CardsState::refused:
      return "This browser keeps nothing for this page: the cards last until it is closed. Save them as a file.";
    case CardsState::full:
      return "There is no room left on this device: what was measured last is not kept. Save the cards as a file, "
             "then make room.";
    case CardsState::set_aside:
      return "Something on the cards was damaged. It was set aside and is not lost: the cards say what it was.";
  }
  return "";
}

std::string measure_invitation() {
  return "Measure at the start of the tape, wind on, and measure at its end: a tired motor or belt shows between them.";
}

std::string measure_said(const Model& model) {
  if (!model.measure_run) return "";
  const MeasureRun& run = *model.measure_run;
  if (run.stage == MeasureRun::Stage::refused) {
    std::string said = "No reading that can be trusted came out.";
    if (!run.reasons.empty()) said.append(" ").append(advice(*run.reasons.begin(), model).what);
    return said;
  }
  const std::string heard = fixed(std::floor(run.heard_s), 0) + " of " + fixed(run.seconds, 0) + " s of tone heard";
  if (run.lost) return "The tone is lost: it goes on when it is back. " + heard + ".";
  if (run.losses == 0) return heard + ".";
  return heard + "; the tone was lost " + (run.losses == 1 ? "once." : fixed(run.losses, 0) + " times.");
}

std::vector<std::string> measured(const Model& model) {
  std::vector<std::string> lines;
  for (const TapePlace place : kTapePlaces)
    if (const auto& made = model.measured[static_cast<std::size_t>(place)]) lines.push_back(line_of(place, *made));
  return lines;
}

// Of the two places that lie furthest apart.
std::string measured_difference(const Model& model) {
  TapePlace first = TapePlace::unsaid, last = TapePlace::unsaid;
  for (const TapePlace place : {TapePlace::start, TapePlace::middle, TapePlace::end}) {
    if (!model.measured[static_cast<std::size_t>(place)]) continue;
    if (first == TapePlace::unsaid) first = place;
    last = place;
  }
  if (first == last) return "";
  const TapeMeasurement& here = *model.measured[static_cast<std::size_t>(first)];
  const TapeMeasurement& there = *model.measured[static_cast<std::size_t>(last)];
  if (here.nominal_hz != there.nominal_hz) return "";
  const double apart = *there.whole.speed_error_percent - *here.whole.speed_error_percent;
  const double u95 = std::hypot(*there.whole.u95_percent, *here.whole.u95_percent);
  const int decimals = std::max(1, supported_decimals(u95, 3));
  if (std::fabs(apart) <= u95) return "Both places run alike, within " + plus_minus(u95, decimals) + " %.";
  const auto bare = [](TapePlace place) {
    return std::string(place == TapePlace::start ? "start" : place == TapePlace::middle ? "middle" : "end");
  };
  return "At its " + bare(last) + " the tape runs " + fixed(std::fabs(apart), decimals) + " % " +
         (apart > 0.0 ? "faster" : "slower") + " than at its " + bare(first) + ", " + plus_minus(u95, decimals) + " %.";
}

}  // namespace four76::words
