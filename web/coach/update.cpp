#include "web/coach/update.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "web/run/update.hpp"
#include "web/snapshot/update.hpp"

namespace four76 {
namespace {

// Another machine, another screw: nothing of the last one counts.
void set_screw(Model& model, std::optional<bool> clockwise_is_faster) {
  model.job.coach = Coach({model.settings.tolerance_percent, 0.0, clockwise_is_faster});
  model.job.told.reset();
}

}  // namespace

Effects start_demo(Model& model) {
  Effects effects = end_running(model);
  model.job.own_screw = model.job.coach.clockwise_is_faster();
  set_screw(model, true);
  model.phase = Phase::demo;
  model.job.trim_percent = kTrimFirstPercent;
  append(effects, open_session(model, 0.0));
  TapeSimulator::Config tape;
  tape.tone_hz = model.settings.nominal_hz;
  tape.trim_percent = model.job.trim_percent;
  effects.push_back(effect::StartTape{tape});
  effects.push_back(effect::KeepAwake{true});
  return effects;
}

Effects set_trimmer(Model& model, double percent) {
  if (model.phase != Phase::demo || !std::isfinite(percent)) return {};
  model.job.trim_percent = std::clamp(percent, -kTrimLimitPercent, kTrimLimitPercent);
  return {effect::TurnTape{model.job.trim_percent}};
}

// What was learned of the demo's screw ends with it: the machine at hand has another.
void leave_demo(Model& model) { set_screw(model, model.job.own_screw); }

// What was learned of the screw stays; where the speed stood does not.
void restart_coach(Model& model) {
  set_screw(model, model.job.coach.clockwise_is_faster());
  model.job.coached_s = 0.0;
}

// By the trail: a snapshot may hold more than one new reading of the dial.
void advance_coach(Model& model) {
  JobBench& job = model.job;
  const ChannelSnapshot* const channel = shown_channel(model);
  if (!channel || !can_turn(model)) return;
  if (job.coached_channel != model.shown_channel) restart_coach(model);
  job.coached_channel = model.shown_channel;
  each_new_reading(*channel, job.coached_s, [&](const Reading& reading) { job.coach.add(reading); });
  if (!job.told || job.coach.advice().kind == AdviceKind::moving) return;
  job.coach.mark(job.told->way, job.told->turns);
  job.told.reset();
}

void advance_watch(Model& model) {
  JobBench& job = model.job;
  const ChannelSnapshot* const channel = shown_channel(model);
  if (!channel || !is_live(model) || checks_clock(model) || channel->trail.empty()) return;
  const double last_s = channel->trail.back().time_s, now_s = model.snapshot->heard_at_s;
  each_new_reading(*channel, job.watched_s,
                   [&](const Reading& reading) { job.watch.add(now_s + reading.time_s - last_s, reading); });
}

// Why there may be no readings for a while.
void interrupt_watch(Model& model, browser::Interruption what) {
  using browser::Interruption;
  if (what == Interruption::muted || what == Interruption::suspended) model.job.watch.interrupted(GapCause::call);
  if (what == Interruption::hidden) model.job.watch.interrupted(GapCause::hidden);
}

Effects turned_screw(Model& model, const intent::TurnedScrew& turned) {
  if (!can_turn(model)) return {};
  if (model.job.coach.advice().kind == AdviceKind::moving)
    model.job.told = {turned.way, turned.turns};
  else
    model.job.coach.mark(turned.way, turned.turns);
  return {};
}

Effects know_screw(Model& model, std::optional<bool> clockwise_is_faster) {
  model.job.own_screw = clockwise_is_faster;
  if (model.phase == Phase::demo || clockwise_is_faster == model.job.coach.clockwise_is_faster()) return {};
  set_screw(model, clockwise_is_faster);
  model.job.coached_s = model.snapshot ? model.snapshot->time_s : 0.0;
  return {};
}

}  // namespace four76
