#include "web/tone/update.hpp"

#include <cmath>
#include <optional>
#include <string_view>
#include <utility>

#include "core/records/link.hpp"
#include "core/tone/nominal_tones.hpp"
#include "core/tone/tone_search.hpp"
#include "web/controls.hpp"
#include "web/flutter/causes/update.hpp"
#include "web/run/update.hpp"
#include "web/song/update.hpp"
#include "web/tone/controls.hpp"
#include "web/tone/words.hpp"

namespace four76 {
namespace {

constexpr std::string_view kAskTone = "tone", kAskTolerance = "tolerance", kAskTapeTolerance = "tape-tolerance";

}  // namespace

Effects choose_tape_tolerance(Model& model, std::optional<double> percent) {
  if (percent && !(*percent >= kSmallestTapeTolerance_percent && *percent <= kLargestTapeTolerance_percent)) return {};
  if (percent == model.settings.tape_tolerance_percent) return {};
  model.settings.tape_tolerance_percent = percent;
  return {effect::Store{"tape-tolerance", percent ? control_value(*percent) : ""}};
}

namespace {

// What is heard, or the file on show, is measured anew: reasons that were found before would not hold.
Effects measure_anew(Model& model) {
  if (checks_clock(model) || in_song(model)) return {};
  if (is_live(model)) {
    forget_readings(model);
    model.job.watch.reset();
    return open_session(model, 0.0);
  }
  if (is_held(model)) return end_running(model);
  if (!is_file(model) && model.phase != Phase::measuring_file) return {};
  forget_readings(model);
  model.phase = Phase::measuring_file;
  model.file.fraction = 0.0;
  return {effect::MeasureAgain{model.settings.nominal_hz, model.told}};
}

}  // namespace

Effects sure_of_tone(Model& model) {
  if (is_held(model) || !suggested_tone_hz(model)) return {};
  model.told.tone_is_sure = true;
  return measure_anew(model);
}

Effects choose_near(Model& model, double hz) {
  const bool in_range = std::abs(hz / model.settings.nominal_hz - 1.0) <= kSearchRange;
  if (!candidates_hz(model) || !in_range) return {};
  model.told.near_hz = hz;
  return measure_anew(model);
}

Effects choose_tone(Model& model, double hz) {
  if (!(hz >= kLowestNominalHz && hz <= kHighestNominalHz) || hz == model.settings.nominal_hz) return {};
  model.settings.nominal_hz = hz;
  Effects effects{effect::Store{"tone", control_value(hz)}};
  // A tolerance belongs to the tape whose tone it was stated with.
  append(effects, choose_tape_tolerance(model, std::nullopt));
  model.told = {};
  append(effects, measure_anew(model));
  return effects;
}

Effects choose_tolerance(Model& model, double percent) {
  if (!(percent >= kLowestTolerancePercent && percent <= kHighestTolerancePercent)) return {};
  model.settings.tolerance_percent = percent;
  model.job.coach.set_tolerance(percent);
  judge_flutter(model);
  judge_song(model);
  return {effect::Store{"tolerance", control_value(percent)}};
}

Effects choose_unit(Model& model, Unit unit) {
  model.settings.unit = unit;
  return {effect::Store{"unit", std::string(control_value(unit))}};
}

Effects choose_channel(Model& model, ChannelChoice channel) {
  model.settings.channel = channel;
  model.shown_channel = channel == ChannelChoice::right ? 1 : 0;
  judge_flutter(model);  // a file brings no further snapshot
  return {effect::Store{"channel", std::string(control_value(channel))}};
}

Effects choose_trace(Model& model, Trace trace) {
  model.settings.trace = trace;
  return {effect::Store{"trace", std::string(control_value(trace))}};
}

Effects choose_device(Model& model, std::string id) {
  if (id == model.settings.device_id) return {};
  const bool running = model.phase == Phase::listening || model.phase == Phase::asking;
  model.settings.device_id = std::move(id);
  Effects effects{effect::Store{"device", model.settings.device_id}};
  if (running) append(effects, in_song(model) ? capture_anew(model) : listen(model));
  return effects;
}

Effects ask_tone(const Model& model) {
  return {effect::AskNumber{kAskTone, words::ask_tone_label(), "Hz", model.settings.nominal_hz, kLowestNominalHz,
                            kHighestNominalHz}};
}

Effects ask_tolerance(const Model& model) {
  return {effect::AskNumber{kAskTolerance, words::ask_tolerance_label(), "%", model.settings.tolerance_percent,
                            kLowestTolerancePercent, kHighestTolerancePercent}};
}

Effects ask_tape_tolerance(const Model& model) {
  return {effect::AskNumber{kAskTapeTolerance, words::ask_tape_tolerance_label(), "%",
                            model.settings.tape_tolerance_percent.value_or(kTapeTolerancesPercent[0]),
                            kSmallestTapeTolerance_percent, kLargestTapeTolerance_percent}};
}

Effects number_entered(Model& model, const browser::NumberEntered& entered) {
  if (!entered.value) return {};
  if (entered.question == kAskTone) return choose_tone(model, *entered.value);
  if (entered.question == kAskTapeTolerance) return choose_tape_tolerance(model, *entered.value);
  if (entered.question == kAskTolerance) return choose_tolerance(model, *entered.value);
  return {};
}

}  // namespace four76
