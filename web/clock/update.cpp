#include "web/clock/update.hpp"

#include <cmath>
#include <utility>

#include "core/records/clock_correction.hpp"
#include "core/tone/nominal_tones.hpp"
#include "web/run/update.hpp"

namespace four76 {
namespace {

constexpr std::string_view kClocksKey = "clocks";
// So much tone shows that a frequency was entered which is not the source's: no need to hear the rest.
constexpr double kPlainlyWrongS = 5.0;

Effects store_clocks(const Model& model) { return {effect::Store{kClocksKey, write_clocks(model.clock.kept)}}; }

Effects conclude(Model& model, const Result<ClockCorrection, ClockFault>& outcome) {
  ClockCheck ended = *model.clock.check;
  ended.stage = outcome ? ClockCheck::Stage::found : ClockCheck::Stage::refused;
  if (outcome) {
    ended.so_far = *outcome;
  } else {
    ended.fault = outcome.fault();
  }
  Effects effects = end_running(model);
  model.clock.check = std::move(ended);
  return effects;
}

}  // namespace

Effects check_clock(Model& model, const intent::CheckClock& wanted) {
  const bool tone = wanted.known_hz >= kLowestNominalHz && wanted.known_hz <= kHighestNominalHz;
  const bool source = wanted.source_u95_ppm >= kLowestSourcePpm && wanted.source_u95_ppm <= kHighestSourcePpm;
  if (!tone || !source) return {};
  Effects effects = end_running(model);
  model.phase = Phase::asking;
  model.clock.check.emplace();
  model.clock.check->known_hz = wanted.known_hz;
  model.clock.check->source_u95_ppm = wanted.source_u95_ppm;
  effects.push_back(effect::StartCapture{model.settings.device_id});
  return effects;
}

Effects advance_clock_check(Model& model) {
  const ChannelSnapshot* const channel = shown_channel(model);
  if (!checks_clock(model) || !channel || model.phase != Phase::listening || !model.capture) return {};
  ClockCheck& check = *model.clock.check;
  const Reading& whole = channel->whole;
  check.heard_s = whole.trusted_s;
  check.reasons = whole.reasons;
  check.sample_rate_hz = model.capture->sample_rate_hz;
  check.input = model.capture->device_label;
  check.so_far = clock_so_far(whole, check.known_hz, check.source_u95_ppm);
  const auto outcome = find_clock_correction(whole, check.known_hz, check.source_u95_ppm);
  const bool wrong = !outcome && outcome.fault() == ClockFault::no_clock && check.heard_s >= kPlainlyWrongS;
  if (outcome || wrong || model.snapshot->time_s >= kLongestClockCheckS) return conclude(model, outcome);
  return {};
}

Effects keep_clock(Model& model, const intent::KeepClock& keep) {
  if (!model.clock.check || model.clock.check->stage != ClockCheck::Stage::found) return {};
  ClockCheck& check = *model.clock.check;
  if (!keep_clock(model.clock.kept, {check.sample_rate_hz, check.input, *check.so_far, keep.date})) return {};
  check.stage = ClockCheck::Stage::kept;
  model.clock.set_aside = false;
  return store_clocks(model);
}

Effects forget_clock(Model& model, std::size_t index) {
  if (index >= model.clock.kept.size()) return {};
  model.clock.kept.erase(model.clock.kept.begin() + static_cast<std::ptrdiff_t>(index));
  Effects effects = store_clocks(model);
  if (is_held(model)) append(effects, end_running(model));  // it was heard at the corrected rate
  // What listens was given the corrected rate.
  if (model.phase == Phase::listening && !checks_clock(model) && !records_song(model)) {
    forget_readings(model);
    append(effects, open_session(model, 0.0));
  }
  return effects;
}

Effects forget_broken_clocks(Model& model) {
  if (!model.clock.set_aside) return {};
  model.clock.set_aside = false;
  return store_clocks(model);
}

Effects close_clock_check(Model& model) {
  if (!model.clock.check) return {};
  Effects effects;
  if (checks_clock(model)) effects = end_running(model);
  model.clock.check.reset();
  return effects;
}

void restore_clocks(Model& model, const std::string& kept) {
  auto book = read_clocks(kept);
  model.clock.set_aside = !book;
  if (book) model.clock.kept = std::move(*book);
}

}  // namespace four76
