#include "web/song/update.hpp"

#include <algorithm>
#include <utility>

#include "core/records/clock_correction.hpp"
#include "core/records/percent_text.hpp"
#include "web/budget/budget.hpp"
#include "web/coach/update.hpp"
#include "web/run/update.hpp"
#include "web/snapshot/update.hpp"
#include "web/song/words.hpp"
#include "web/tone/words.hpp"
#include "web/update.hpp"

namespace four76 {
namespace {

constexpr std::string_view kTapesKey = "tapes", kMachineKey = "machine";

Effects store_tapes(const Model& model) { return {effect::Store{kTapesKey, write_tapes(model.song.tapes)}}; }

}  // namespace

void end_song(Model& model) {
  SongBench& song = model.song;
  song.file = SongFile::none;
  song.capture = SongCapture::none;
  song.recorded_s = 0.0;
  song.level_dbfs.reset();
  song.loudest_dbfs.reset();
  song.state = SongState::silent;
  song.position_s.reset();
  song.result.reset();
  song.keep_fault.clear();
}

Effects open_song_bench(Model& model) {
  if (!can_open_song(model)) return {};
  Effects effects = end_running(model);
  model.bench = Bench::song;
  return effects;
}

Effects close_song_bench(Model& model) {
  if (model.bench != Bench::song) return {};
  Effects effects = end_running(model);
  model.bench = Bench::tone;
  return effects;
}

Effects open_song_file(Model& model, SongFile what) {
  if (what == SongFile::tape ? !can_play_tape(model) : !can_take_reference(model)) return {};
  return {effect::OpenFilePicker{what == SongFile::tape ? "tape" : "reference"}};
}

Effects capture_song(Model& model, SongCapture what) {
  if (what == SongCapture::tape ? !can_play_tape(model) : !can_take_reference(model)) return {};
  Effects effects = end_running(model);
  model.phase = Phase::asking;
  model.song.capture = what;
  effects.push_back(effect::StartCapture{model.settings.device_id});
  return effects;
}

Effects capture_anew(Model& model) {
  const SongCapture what = model.song.capture;
  Effects effects = end_running(model);
  append(effects, capture_song(model, what));
  return effects;
}

Effects song_captured(Model& model, double discard_s) {
  double rate_hz = model.capture->sample_rate_hz;
  if (const CheckedClock* clock = clock_in_use(model))
    rate_hz = true_sample_rate_hz(rate_hz, clock->correction.fast_ppm);
  if (records_song(model)) return {effect::StartRecording{rate_hz, discard_s}};
  model.song.state = SongState::silent;
  model.song.position_s.reset();
  return {effect::OpenSong{rate_hz, discard_s}};
}

Effects recorded(Model& model, const intent::Recorded& so_far) {
  if (!records_song(model)) return {};
  SongBench& song = model.song;
  song.recorded_s = so_far.seconds;
  song.level_dbfs = so_far.level_dbfs;
  if (so_far.level_dbfs) song.loudest_dbfs = std::max(song.loudest_dbfs.value_or(-200.0), *so_far.level_dbfs);
  if (song.recorded_s >= kLongestReference_s) return use_recording(model);
  return {};
}

Effects use_recording(Model& model) {
  if (!can_use_recording(model)) return {};
  SongReference made;
  made.seconds = model.song.recorded_s;
  made.recorded = true;
  made.input = model.capture->device_label;
  made.sample_rate_hz = model.capture->sample_rate_hz;
  Effects effects{effect::HoldRecording{}};
  append(effects, end_running(model));
  model.song.reference = std::move(made);
  return effects;
}

Effects forget_reference(Model& model) {
  if (!in_song(model)) return {};
  Effects effects = end_running(model);
  model.song.reference.reset();
  effects.push_back(effect::DropSong{});
  return effects;
}

Effects song_file_started(Model& model, const browser::SongFileStarted& file) {
  if (!in_song(model) || (file.tape && !model.song.reference)) return {effect::CancelFile{}};
  Effects effects = end_for_file(model);
  model.phase = Phase::measuring_file;
  model.file = {file.name, 0.0};
  model.song.file = file.tape ? SongFile::tape : SongFile::reference;
  return effects;
}

Effects song_read(Model& model, double seconds) {
  if (model.phase != Phase::measuring_file || model.song.file != SongFile::reference) return {};
  SongReference read;
  read.name = model.file.name;
  read.seconds = seconds;
  Effects effects = end_for_file(model);
  model.song.reference = std::move(read);
  effects.push_back(effect::HoldSong{});
  return effects;
}

Effects song_matched(Model& model, std::span<const std::uint8_t> bytes) {
  if (model.phase != Phase::measuring_file || model.song.file != SongFile::tape) return {};
  std::optional<SongResult> result = decode_song(bytes);
  if (!result) return fail(model, {Failure::Kind::file, {}, words::file_lost()});
  model.phase = Phase::file_shown;
  hold_against(result->match, model.settings.tolerance_percent);
  Snapshot fresh;
  fresh.channels = 1;
  fresh.time_s = result->used_s;
  fresh.channel[0].whole = reading_of(*result);
  model.song.result = std::move(result);
  show_snapshot(model, fresh);
  advance_coach(model);
  return {};
}

void judge_song(Model& model) {
  if (!in_song(model) || !is_file(model) || !model.song.result) return;
  hold_against(model.song.result->match, model.settings.tolerance_percent);
  if (model.snapshot) model.snapshot->channel[0].whole = reading_of(*model.song.result);
}

Effects accept_song(Model& model, Snapshot& fresh, SongState state, std::optional<double> position_s) {
  if (!follows_song(model)) return {};
  model.shown_channel = 0;
  model.song.state = state;
  model.song.position_s = position_s;
  show_snapshot(model, fresh);
  return {};
}

// The measurement's own and the clocks', but not what the tape may be off: that is what the vote is about.
Effects keep_tape(Model& model, const intent::KeepTape& keep) {
  if (!can_keep_tape(model)) return {};
  const auto all = budget(model);
  const Reading& reading = *judged_reading(model);
  const double u95 = all && all->terms.sum_percent ? *all->terms.sum_percent : *reading.u95_percent;
  const bool kept =
      four76::keep_tape(model.song.tapes, {keep.machine, keep.tape, {*reading.speed_error_percent, u95}, keep.date});
  model.song.keep_fault = kept ? std::string_view{} : words::tape_needs_name();
  if (!kept) return {};
  model.song.tapes_set_aside = false;
  Effects effects = name_machine(model, keep.machine);
  append(effects, store_tapes(model));
  return effects;
}

Effects forget_tape(Model& model, std::size_t index) {
  if (index >= model.song.tapes.size()) return {};
  model.song.tapes.erase(model.song.tapes.begin() + static_cast<std::ptrdiff_t>(index));
  return store_tapes(model);
}

Effects forget_broken_tapes(Model& model) {
  if (!model.song.tapes_set_aside) return {};
  model.song.tapes_set_aside = false;
  return store_tapes(model);
}

Effects name_machine(Model& model, const std::string& name) {
  if (name.size() > kLongestKeptName || !is_one_line_of_utf8(name) || name == model.song.machine) return {};
  model.song.machine = name;
  model.machine.visit_said.clear();  // that was said of another machine
  return {effect::Store{kMachineKey, name}};
}

void restore_tapes(Model& model, const std::string& kept) {
  auto book = read_tapes(kept);
  model.song.tapes_set_aside = !book;
  if (book) model.song.tapes = std::move(*book);
}

}  // namespace four76
