// Model: everything the page shows, as plain data. Only update() changes it; views, words and the mirror read it.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "web/clock/state.hpp"
#include "web/coach/state.hpp"
#include "web/flutter/causes/state.hpp"
#include "web/flutter/state.hpp"
#include "web/friend/state.hpp"
#include "web/machine/state.hpp"
#include "web/platform/browser.hpp"
#include "web/platform/platform.hpp"
#include "web/run/state.hpp"
#include "web/snapshot/snapshot.hpp"
#include "web/song/state.hpp"
#include "web/tone/state.hpp"

namespace four76 {

enum class Bench : std::uint8_t { tone, song };  // what tells the speed: a test tape, or a song at hand

struct Model {
  Phase phase = Phase::idle;
  Bench bench = Bench::tone;
  View view = View::speed;
  Platform platform = Platform::unknown;  // that the browser runs on
  bool daylight = false;                  // light colours in place of the bench's dark ones
  Settings settings;
  TapeTold told;

  std::optional<Snapshot> snapshot;  // the latest; nothing before the first and after stopping
  int shown_channel = 0;             // the one whose readings are shown where both are listened to
  int figure_decimals = 1;           // of the huge percentage; steadied by update

  std::optional<browser::CaptureStarted> capture;  // what the browser said, while listening and of what is held
  Interrupted interrupted;
  std::vector<browser::InputDevice> devices;  // known after permission
  std::optional<Failure> failure;             // where phase is failed
  FileState file;
  double since_reading_s = 0.0;  // of what is live: how old the snapshot is

  CausesBench causes;
  MachineBench machine;
  FriendBench friends;
  SongBench song;
  JobBench job;
  ClockBench clock;

  std::string link_fault;           // what is wrong with the link that was opened, in words; empty where nothing is
  std::string link_note;            // the line of text that came with it
  bool storage_refused = false;     // the browser keeps nothing for this page
  bool screen_may_go_dark = false;  // the browser would not keep it on
  bool update_ready = false;        // a newer version waits
  bool drawing_lost = false;        // WebGL context lost
  bool held_demo = false;           // what is held was the demo's
};

// How the number on show may look.
enum class Trust : std::uint8_t {
  nothing,   // no number exists: idle, asking, failed, no tone
  waiting,   // capture runs, its first reading is not there yet
  doubtful,  // a number exists and must not look like a good one
  good,
};

// The song bench is shown; a check of the clock is none of it.
[[nodiscard]] bool in_song(const Model& model) noexcept;
// It listens to a tape; it records a reference.
[[nodiscard]] bool follows_song(const Model& model) noexcept;
[[nodiscard]] bool records_song(const Model& model) noexcept;
// Microphone or simulated tape: the live dial is shown.
[[nodiscard]] bool is_live(const Model& model) noexcept;
[[nodiscard]] bool is_file(const Model& model) noexcept;
[[nodiscard]] bool is_held(const Model& model) noexcept;
// What is shown comes from the simulated tape.
[[nodiscard]] bool is_demo(const Model& model) noexcept;
// The channel on show, nothing without a snapshot.
[[nodiscard]] const ChannelSnapshot* shown_channel(const Model& model) noexcept;
// The reading that the figure and the mirror show: the live dial, or all of the file; nothing without a snapshot.
[[nodiscard]] const Reading* shown_reading(const Model& model) noexcept;
// The calm one of the channel on show; nothing with a file.
[[nodiscard]] const Reading* calm_reading(const Model& model) noexcept;
// The one to judge by: the calm one, unless the speed has moved away from it; all of a file. Nothing where it is not
// measured.
[[nodiscard]] const Reading* judged_reading(const Model& model) noexcept;
// The same of a channel that is live or held.
[[nodiscard]] const Reading* judged_of(const ChannelSnapshot& channel) noexcept;
// Wow and flutter: of the newest 10 s, or of all of a file; nothing without a snapshot.
[[nodiscard]] const FlutterReading* shown_flutter(const Model& model) noexcept;
// What the causes rest on, with what is known of the machine; it points into the model. Nothing without a snapshot.
[[nodiscard]] std::optional<FlutterEvidence> shown_evidence(const Model& model) noexcept;
// A timed measurement is under way.
[[nodiscard]] bool measures(const Model& model) noexcept;
// Somebody waits for the whole readings of what is live.
[[nodiscard]] bool wants_whole(const Model& model) noexcept;
// A check of the device's clock listens, or waits for the microphone.
[[nodiscard]] bool checks_clock(const Model& model) noexcept;
// What the session measures against: the tape's tone, or the source's while the clock is checked.
[[nodiscard]] double nominal_hz(const Model& model) noexcept;
// The check whose correction holds for what is listened to; nothing for a file, the demo or a check.
[[nodiscard]] const CheckedClock* clock_in_use(const Model& model) noexcept;
[[nodiscard]] Trust trust(const Model& model) noexcept;
// The standard tone that the tape probably carries, where the reading says wrong_tone.
[[nodiscard]] std::optional<double> suggested_tone_hz(const Model& model) noexcept;
// Two steady tones either of which may be the tape's, the louder first, where the reading says so.
[[nodiscard]] std::optional<std::array<double, 2>> candidates_hz(const Model& model) noexcept;
[[nodiscard]] bool is_standard_tone(double hz) noexcept;
[[nodiscard]] bool is_standard_tolerance(double percent) noexcept;

// Which of the page's buttons can be used now.
[[nodiscard]] bool can_listen(const Model& model) noexcept;
[[nodiscard]] bool can_stop(const Model& model) noexcept;
// Stopping leaves on show what was heard last.
[[nodiscard]] bool can_hold(const Model& model) noexcept;
[[nodiscard]] bool can_demo(const Model& model) noexcept;
[[nodiscard]] bool can_open_file(const Model& model) noexcept;
[[nodiscard]] bool can_measure(const Model& model) noexcept;  // also: can break off
[[nodiscard]] bool can_visit(const Model& model, VisitStage stage) noexcept;
[[nodiscard]] bool can_visit(const Model& model) noexcept;   // what runs or is shown can be kept on a card
[[nodiscard]] bool can_answer(const Model& model) noexcept;  // a friend's question, by measuring now
[[nodiscard]] bool can_turn(const Model& model) noexcept;    // the coach listens
[[nodiscard]] bool can_change_view(const Model& model) noexcept;
[[nodiscard]] bool can_open_song(const Model& model) noexcept;       // from the tone to the song bench
[[nodiscard]] bool can_close_song(const Model& model) noexcept;      // and back
[[nodiscard]] bool can_take_reference(const Model& model) noexcept;  // as a file or by the microphone
[[nodiscard]] bool can_use_recording(const Model& model) noexcept;
[[nodiscard]] bool can_play_tape(const Model& model) noexcept;  // into the microphone, or as a file
[[nodiscard]] bool can_keep_tape(const Model& model) noexcept;  // there is a result that may vote

}  // namespace four76
