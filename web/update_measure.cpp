// The measurement's half of update: half a minute at one end of the tape, and which view is shown.
#include <optional>
#include <string>
#include <string_view>

#include "core/records/parts_text.hpp"
#include "web/update_parts.hpp"

namespace four76 {
namespace {

std::size_t index_of(TapeEnd end) { return end == TapeEnd::end ? 1 : 0; }

void conclude(Model& model, const ChannelSnapshot& channel) {
  const Reading& whole = channel.whole;
  if (whole.status == Status::measured && whole.speed_error_percent && whole.u95_percent) {
    model.measured[index_of(model.tape_end)] = TapeMeasurement{model.settings.nominal_hz, whole, channel.whole_flutter};
    model.measure_run.reset();
    return;
  }
  model.measure_run->stage = MeasureRun::Stage::refused;
  model.measure_run->reasons = whole.reasons;
}

}  // namespace

// It begins with a new session, so that the whole is the half minute and nothing else.
Effects measure(Model& model) {
  if (measures(model)) {
    model.measure_run.reset();
    return {};
  }
  if (!can_measure(model)) return {};
  forget_readings(model);
  Effects effects = open_session(model, 0.0);
  if (is_live(model)) model.measure_run.emplace();
  return effects;
}

void advance_measurement(Model& model) {
  const ChannelSnapshot* const channel = shown_channel(model);
  if (!measures(model) || !channel) return;
  MeasureRun& run = *model.measure_run;
  run.heard_s = channel->whole.trusted_s;
  const bool lost = channel->dial.status == Status::no_tone && run.heard_s > 0.0;
  if (lost && !run.lost) ++run.losses;
  run.lost = lost;
  if (run.heard_s >= kMeasureS) conclude(model, *channel);
}

Effects choose_tape_end(Model& model, TapeEnd end) {
  if (!measures(model)) model.tape_end = end;  // one that runs stays where it began
  return {};
}

Effects forget_measured(Model& model) {
  model.measured = {};
  return {};
}

// All of it or nothing: what is wrong is said, and what was known stays.
Effects enter_parts(Model& model, const std::string& text) {
  const auto known = known_parts_of(text);
  const auto fault = known ? fault_in(*known) : std::optional<std::string_view>("Enter plain numbers, such as 2.05.");
  model.parts_fault = fault.value_or("");
  ++model.parts_entered;
  if (fault) return {};
  model.settings.known = *known;
  judge_flutter(model);
  return {effect::Store{"parts", text_of(*known)}};
}

Effects choose_view(Model& model, View view) {
  model.view = view;
  return {};
}

Effects choose_trace(Model& model, Trace trace) {
  model.settings.trace = trace;
  return {effect::Store{"trace", std::string(control_value(trace))}};
}

}  // namespace four76
