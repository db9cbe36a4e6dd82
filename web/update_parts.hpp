// What the parts of update share: ending, failing, opening. Within update*.cpp only.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "web/intent.hpp"
#include "web/model.hpp"

namespace four76 {

void append(Effects& all, Effects more);
// Ends whatever runs and leaves the page idle.
Effects end_running(Model& model);
// The same for a file that begins: the page has ended the one before by itself, and cancelling would end this one.
Effects end_for_file(Model& model);
// Ends whatever runs, and asks for the microphone.
Effects listen(Model& model);
// Ends whatever runs; a check of the clock has then failed too.
Effects fail(Model& model, Failure failure);
// Opens a session for what runs; fails in words where the tone cannot be measured at this sample rate.
Effects open_session(Model& model, double discard_s);
void forget_readings(Model& model);
// A snapshot into the model by exchange, and how many digits that supports.
void show_snapshot(Model& model, Snapshot& fresh);

// ---- Settings (update_settings.cpp)
Effects choose_tone(Model& model, double hz);
Effects sure_of_tone(Model& model);
Effects choose_near(Model& model, double hz);
Effects choose_tolerance(Model& model, double percent);
Effects choose_tape_tolerance(Model& model, std::optional<double> percent);
Effects choose_unit(Model& model, Unit unit);
Effects choose_channel(Model& model, ChannelChoice channel);
Effects choose_device(Model& model, std::string id);
Effects ask_tone(const Model& model);
Effects ask_tolerance(const Model& model);
Effects ask_tape_tolerance(const Model& model);
Effects number_entered(Model& model, const browser::NumberEntered& entered);

// ---- A check of the device's clock (update_clock.cpp)
Effects check_clock(Model& model, const intent::CheckClock& wanted);
Effects keep_clock(Model& model, const intent::KeepClock& keep);
Effects forget_clock(Model& model, std::size_t index);
Effects forget_broken_clocks(Model& model);
Effects close_clock_check(Model& model);
// After each new snapshot.
Effects advance_clock_check(Model& model);
void restore_clocks(Model& model, const std::string& kept);

// ---- Timed measurements, and the view (update_measure.cpp)
Effects measure(Model& model);
Effects measure_visit(Model& model, VisitStage stage);
Effects choose_place(Model& model, TapePlace place);
Effects choose_visit_seconds(Model& model, double seconds);
Effects forget_measured(Model& model);
Effects choose_view(Model& model, View view);
Effects choose_trace(Model& model, Trace trace);
// After each new snapshot.
Effects advance_measurement(Model& model);

// Every reading of the dial on show that is newer than `taken_s`, which moves up with them.
template <class Take>
void each_new_reading(const ChannelSnapshot& channel, double& taken_s, Take&& take) {
  Reading reading;
  reading.noise_u95_percent = channel.dial.noise_u95_percent;
  for (const TrailPoint& point : channel.trail) {
    if (point.time_s <= taken_s) continue;
    taken_s = point.time_s;
    reading.time_s = point.time_s;
    reading.status = point.status;
    reading.speed_error_percent = point.speed_error_percent;
    reading.u95_percent = point.u95_percent;
    take(reading);
  }
}

// ---- The job, and the demo's machine (update_job.cpp)
Effects start_demo(Model& model);
Effects set_trimmer(Model& model, double percent);  // of the demo
void restart_coach(Model& model);
void leave_demo(Model& model);
// After each new snapshot.
void advance_coach(Model& model);
void advance_watch(Model& model);
void interrupt_watch(Model& model, browser::Interruption what);
Effects turned_screw(Model& model, const intent::TurnedScrew& turned);
Effects know_screw(Model& model, std::optional<bool> clockwise_is_faster);

// ---- Links from and to a friend (update_friend.cpp)
Effects open_link(Model& model, std::string_view fragment);  // all of it or nothing
Effects answer_friend(Model& model);
Effects advance_answer(Model& model);
Effects conclude_answer(Model& model);
Effects link_filed(Model& model);

// ---- The song bench (update_song.cpp)
// What of it ends with whatever runs; the reference stays.
void end_song(Model& model);
Effects open_song_bench(Model& model);
Effects close_song_bench(Model& model);
Effects open_song_file(Model& model, SongFile what);
Effects capture_song(Model& model, SongCapture what);
Effects capture_anew(Model& model);                     // the same by another microphone
Effects song_captured(Model& model, double discard_s);  // the microphone has begun
Effects use_recording(Model& model);
Effects recorded(Model& model, const intent::Recorded& so_far);
Effects forget_reference(Model& model);
Effects song_file_started(Model& model, const browser::SongFileStarted& file);
Effects song_read(Model& model, double seconds);
Effects song_matched(Model& model, std::span<const std::uint8_t> bytes);
Effects keep_tape(Model& model, const intent::KeepTape& keep);
Effects forget_tape(Model& model, std::size_t index);
Effects forget_broken_tapes(Model& model);
Effects name_machine(Model& model, const std::string& name);
void restore_tapes(Model& model, const std::string& kept);

// ---- What wow and flutter come from
// After each new snapshot, and when what is known of the machine or the tolerance changed.
void judge_flutter(Model& model);
void judge_song(Model& model);  // a tape's file, by the tolerance
Effects enter_parts(Model& model, const std::string& text);

}  // namespace four76
