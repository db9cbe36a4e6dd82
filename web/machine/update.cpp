#include "web/machine/update.hpp"

#include <optional>
#include <string>
#include <string_view>

#include "core/phrase.hpp"
#include "core/records/card.hpp"
#include "core/records/parts_text.hpp"
#include "web/controls.hpp"
#include "web/friend/update.hpp"
#include "web/machine/card_visit.hpp"
#include "web/machine/words.hpp"
#include "web/run/update.hpp"
#include "web/snapshot/update.hpp"

namespace four76 {
namespace {

Effects keep_visit(Model& model, const Measurement& visit) {
  model.machine.visit_on_its_way = words::visit_kept(visit);
  if (model.machine.run && model.machine.run->moved) model.machine.visit_on_its_way += ' ' + words::speed_moved();
  return {effect::KeepVisit{write_visit(visit), is_demo(model)}};
}

Effects conclude(Model& model, const ChannelSnapshot& channel) {
  const Reading& whole = channel.whole;
  MeasureRun& run = *model.machine.run;
  if (whole.status != Status::measured || !whole.speed_error_percent || !whole.u95_percent) {
    run.stage = MeasureRun::Stage::refused;
    run.reasons = whole.reasons;
    if (run.kept_as) model.machine.visit_said = words::visit_refused(model);
    model.friends.answering = false;
    return {};
  }
  model.machine.measured[static_cast<std::size_t>(model.machine.place)] =
      TapeMeasurement{model.settings.nominal_hz, whole, channel.whole_flutter};
  Effects effects;
  if (run.kept_as) {
    effects = keep_visit(model, timed_visit(model, run));
    append(effects, conclude_answer(model));
  }
  model.machine.run.reset();
  return effects;
}

// It begins with a new session, so that the whole is that time and nothing else.
Effects begin_run(Model& model, std::optional<VisitStage> kept_as) {
  forget_readings(model);
  Effects effects = open_session(model, 0.0);
  if (is_live(model)) model.machine.run.emplace(model.settings.visit_s, kept_as);
  return effects;
}

// Half of one speed and half of another is neither. A machine that jumps by itself is measured all the same, at last.
constexpr int kMostRestarts = 2;
bool may_begin_again(const MeasureRun& run) noexcept { return run.restarts < kMostRestarts; }
Effects begin_again(Model& model, MeasureRun::Again why) {
  const int restarts = model.machine.run->restarts + 1;
  Effects effects = begin_run(model, model.machine.run->kept_as);
  if (!model.machine.run) return effects;
  model.machine.run->again = why;
  model.machine.run->restarts = restarts;
  return effects;
}

}  // namespace

Effects measure(Model& model) {
  if (measures(model)) {
    model.machine.run.reset();
    model.friends.answering = false;
    return {};
  }
  return can_measure(model) ? begin_run(model, std::nullopt) : Effects{};
}

Effects measure_visit(Model& model, VisitStage stage) {
  if (!can_visit(model, stage)) return {};
  model.machine.visit_said.clear();
  if (can_measure(model)) return begin_run(model, stage);
  if (is_held(model)) model.machine.held_kept[static_cast<std::size_t>(stage)] = true;
  return keep_visit(model, shown_visit(model, stage));
}

Effects advance_measurement(Model& model) {
  const ChannelSnapshot* const channel = shown_channel(model);
  if (!measures(model) || !channel) return {};
  MeasureRun& run = *model.machine.run;
  run.heard_s = channel->whole.trusted_s;
  bool turned = false;
  each_new_reading(*channel, run.taken_s, [&](const Reading& reading) {
    run.timed.add(reading);
    if (run.hands.add(reading) && run.hands.last()->stayed) turned = true;
  });
  // A turn that goes on as the time runs out has not settled yet.
  const bool over = run.heard_s >= run.seconds;
  if (over && run.hands.state() == TurnState::moving) turned = true;
  if (turned && may_begin_again(run)) return begin_again(model, MeasureRun::Again::turned);
  if (turned) run.moved = true;
  // Silent is also the beginning, before the dial has found the tone.
  const bool silent = channel->dial.status == Status::no_tone;
  if (!silent) run.found = true;
  const bool lost = silent && run.found;
  if (lost && run.kept_as && may_begin_again(run)) return begin_again(model, MeasureRun::Again::lost);
  if (lost && !run.lost) ++run.losses;
  run.lost = lost;
  return over ? conclude(model, *channel) : Effects{};
}

// A run that is under way stays where it began.
Effects choose_place(Model& model, TapePlace place) {
  if (!measures(model)) model.machine.place = place;
  return {};
}

Effects choose_visit_seconds(Model& model, double seconds) {
  if (!(seconds >= kVisitLeastS && seconds <= kVisitMostS) || measures(model)) return {};
  model.settings.visit_s = seconds;
  return {effect::Store{"visit-seconds", control_value(seconds)}};
}

Effects forget_measured(Model& model) {
  model.machine.measured = {};
  return {};
}

}  // namespace four76
