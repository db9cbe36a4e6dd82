#include "web/model.hpp"

#include <algorithm>
#include <cmath>

#include "core/tone/nominal_tones.hpp"

namespace four76 {

bool in_song(const Model& model) noexcept { return model.bench == Bench::song && !checks_clock(model); }

bool follows_song(const Model& model) noexcept {
  return in_song(model) && model.phase == Phase::listening && model.song.capture == SongCapture::tape;
}

bool records_song(const Model& model) noexcept {
  return in_song(model) && model.phase == Phase::listening && model.song.capture == SongCapture::reference;
}

bool is_live(const Model& model) noexcept { return model.phase == Phase::listening || model.phase == Phase::demo; }

bool is_file(const Model& model) noexcept { return model.phase == Phase::file_shown; }

bool is_held(const Model& model) noexcept { return model.phase == Phase::held; }

bool is_demo(const Model& model) noexcept { return model.phase == Phase::demo || (is_held(model) && model.held_demo); }

const ChannelSnapshot* shown_channel(const Model& model) noexcept {
  if (!model.snapshot || (!is_live(model) && !is_file(model) && !is_held(model))) return nullptr;
  const int last = std::clamp(model.snapshot->channels, 1, 2) - 1;
  return &model.snapshot->channel[static_cast<std::size_t>(std::clamp(model.shown_channel, 0, last))];
}

const Reading* shown_reading(const Model& model) noexcept {
  const ChannelSnapshot* channel = shown_channel(model);
  if (!channel) return nullptr;
  return is_file(model) ? &channel->whole : &channel->dial;
}

const Reading* calm_reading(const Model& model) noexcept {
  const ChannelSnapshot* channel = shown_channel(model);
  return channel && !is_file(model) ? &channel->calm : nullptr;
}

namespace {

bool measured(const Reading* reading) {
  return reading && reading->status == Status::measured && reading->speed_error_percent && reading->u95_percent;
}

// The calm one, unless the speed has moved away from it.
const Reading* calmer(const Reading* dial, const Reading* calm) {
  if (!measured(dial)) return nullptr;
  if (!measured(calm) || calm->reasons.contains(Reason::not_steady)) return dial;
  const double apart = std::fabs(*dial->speed_error_percent - *calm->speed_error_percent);
  return apart <= *dial->u95_percent + *calm->u95_percent ? calm : dial;
}

}  // namespace

const Reading* judged_reading(const Model& model) noexcept { return calmer(shown_reading(model), calm_reading(model)); }

const Reading* judged_of(const ChannelSnapshot& channel) noexcept { return calmer(&channel.dial, &channel.calm); }

const FlutterReading* shown_flutter(const Model& model) noexcept {
  const ChannelSnapshot* channel = shown_channel(model);
  if (!channel) return nullptr;
  return is_file(model) ? &channel->whole_flutter : &channel->flutter;
}

std::optional<FlutterEvidence> shown_evidence(const Model& model) noexcept {
  const ChannelSnapshot* channel = shown_channel(model);
  if (!channel || in_song(model)) return std::nullopt;
  FlutterEvidence evidence = channel->evidence;
  evidence.peaks = channel->flutter_picture.peaks;
  evidence.tolerance_percent = model.settings.tolerance_percent;
  evidence.known = model.settings.known;
  return evidence;
}

bool measures(const Model& model) noexcept {
  return model.machine.run && model.machine.run->stage == MeasureRun::Stage::listening;
}

bool wants_whole(const Model& model) noexcept { return checks_clock(model) || measures(model); }

bool checks_clock(const Model& model) noexcept {
  return model.clock.check && model.clock.check->stage == ClockCheck::Stage::listening;
}

double nominal_hz(const Model& model) noexcept {
  return checks_clock(model) ? model.clock.check->known_hz : model.settings.nominal_hz;
}

const CheckedClock* clock_in_use(const Model& model) noexcept {
  if ((model.phase != Phase::listening && !is_held(model)) || !model.capture || checks_clock(model)) return nullptr;
  // A reference that came through the same microphone has the same clock: both are left as they are.
  if (in_song(model) && (records_song(model) || (model.song.reference && model.song.reference->recorded)))
    return nullptr;
  const double rate_hz = model.capture->sample_rate_hz;
  const CheckedClock* const clock = find_clock(model.clock.kept, rate_hz, model.capture->device_label);
  if (!clock) return nullptr;
  // At either end of the rates that can be measured there is no room for a correction.
  ToneSession::Config config;
  config.sample_rate_hz = true_sample_rate_hz(rate_hz, clock->correction.fast_ppm);
  return ToneSession::fault_in(config) ? nullptr : clock;
}

Trust trust(const Model& model) noexcept {
  const Reading* reading = shown_reading(model);
  if (!reading) return is_live(model) ? Trust::waiting : Trust::nothing;
  if (!reading->speed_error_percent || reading->status == Status::no_tone) {
    return reading->reasons.contains(Reason::too_short) ? Trust::waiting : Trust::nothing;
  }
  // A tape of another tone is measured well, and its speed error still means nothing.
  const bool other_tape = reading->reasons.contains(Reason::wrong_tone);
  const bool held = reading->status == Status::measured && reading->u95_percent.has_value() && !other_tape;
  return held && !model.interrupted.any() ? Trust::good : Trust::doubtful;
}

std::optional<double> suggested_tone_hz(const Model& model) noexcept {
  const Reading* reading = shown_reading(model);
  if (checks_clock(model) || !reading || !reading->reasons.contains(Reason::wrong_tone)) return std::nullopt;
  return reading->other_tone_hz;
}

std::optional<std::array<double, 2>> candidates_hz(const Model& model) noexcept {
  const Reading* reading = shown_reading(model);
  if (checks_clock(model) || is_held(model) || in_song(model) || !reading) return std::nullopt;
  return reading->candidates_hz;
}

bool is_standard_tone(double hz) noexcept {
  return std::find(kStandardTonesHz.begin(), kStandardTonesHz.end(), hz) != kStandardTonesHz.end();
}

bool is_standard_tolerance(double percent) noexcept {
  return std::any_of(kTolerances.begin(), kTolerances.end(), [&](const Tolerance& t) { return t.percent == percent; });
}

namespace {

bool at_rest(const Model& model) noexcept {
  return model.phase == Phase::idle || model.phase == Phase::failed || is_file(model);
}

}  // namespace

bool can_listen(const Model& model) noexcept {
  return !in_song(model) && model.phase != Phase::asking && model.phase != Phase::listening;
}

bool can_stop(const Model& model) noexcept {
  return model.phase != Phase::idle && model.phase != Phase::failed && !is_held(model);
}

// A song's tape and a check of the clock tell what they have found in their own places.
bool can_hold(const Model& model) noexcept {
  const Reading* reading = shown_reading(model);
  return is_live(model) && !in_song(model) && !checks_clock(model) && reading && reading->speed_error_percent;
}

bool can_demo(const Model& model) noexcept { return !in_song(model) && model.phase != Phase::demo; }

bool can_open_file(const Model& model) noexcept { return !in_song(model) && model.phase != Phase::measuring_file; }

bool can_measure(const Model& model) noexcept { return is_live(model) && !checks_clock(model) && !in_song(model); }

// Live it takes its time; all of a file, what a song has said and what is held is there already.
bool can_visit(const Model& model) noexcept {
  if (measures(model)) return false;
  if (is_held(model)) return trust(model) == Trust::good && judged_reading(model);
  return can_measure(model) || can_keep_tape(model) || (is_file(model) && !in_song(model) && judged_reading(model));
}

// What is held is put on a card once as found, once as left.
bool can_visit(const Model& model, VisitStage stage) noexcept {
  return can_visit(model) && !(is_held(model) && model.machine.held_kept[static_cast<std::size_t>(stage)]);
}

bool can_answer(const Model& model) noexcept {
  return model.friends.asked && !model.friends.answering && !measures(model) && !in_song(model) &&
         (can_measure(model) || can_listen(model));
}

bool can_turn(const Model& model) noexcept {
  return is_live(model) && !checks_clock(model) && (!in_song(model) || follows_song(model));
}

bool can_change_view(const Model& model) noexcept {
  return (is_live(model) || is_file(model) || is_held(model)) && !in_song(model);
}

bool can_open_song(const Model& model) noexcept { return model.bench == Bench::tone; }

bool can_close_song(const Model& model) noexcept { return in_song(model) && at_rest(model); }

bool can_take_reference(const Model& model) noexcept {
  return in_song(model) && at_rest(model) && !model.song.reference;
}

bool can_use_recording(const Model& model) noexcept {
  return records_song(model) && model.song.recorded_s >= kShortestReference_s &&
         model.song.loudest_dbfs.value_or(-200.0) >= kQuietestReference_dbfs;
}

bool can_play_tape(const Model& model) noexcept {
  return in_song(model) && at_rest(model) && model.song.reference.has_value();
}

bool can_keep_tape(const Model& model) noexcept {
  const Reading* const judged = in_song(model) && trust(model) == Trust::good ? judged_reading(model) : nullptr;
  return judged && is_known_enough(*judged->u95_percent, model.settings.tolerance_percent);
}

}  // namespace four76
