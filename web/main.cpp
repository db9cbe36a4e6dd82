// main: the program's loop. A frame takes what happened, changes the model, carries out what follows, feeds the
// session, draws, and hands the page what it mirrors.
#include <imgui.h>

#include <cstdint>
#include <variant>

#include "core/phrase.hpp"
#include "web/intent.hpp"
#include "web/mirror.hpp"
#include "web/model.hpp"
#include "web/place/pace.hpp"
#include "web/place/screen.hpp"
#include "web/platform/audio_input.hpp"
#include "web/platform/browser.hpp"
#include "web/platform/canvas.hpp"
#include "web/platform/input_watch.hpp"
#include "web/snapshot/snapshot.hpp"
#include "web/update.hpp"

namespace four76 {
namespace {

// The mirror's values change at least four times a second; readings come in clumps of up to 85 ms.
constexpr double kMirrorEveryS = 0.15;
constexpr double kWatchEveryS = 0.5;
constexpr double kPlayEveryS = 0.03;  // the dial reads every 0.05 s

struct Program {
  Model model;
  AudioInput audio;
  InputWatch watch;
  Screen screen;
  Snapshot spare;                     // the next snapshot's memory
  FlutterPictures pictures;           // of its session
  std::uint64_t seen_dial_count = 0;  //
  double mirrored_s = -1.0;           // when the page was last told
  double wake_s = 0.0;                // when a frame comes at the latest
  double read_s = 0.0;                // when the latest reading came
  Pace pace;
  bool less_motion = false;
};

struct CarryOut {
  Program& program;

  void operator()(const effect::StartCapture& e) const { browser::start_capture(e.device_id); }
  void operator()(const effect::StopCapture&) const { browser::stop_capture(); }
  void operator()(const effect::ListDevices&) const { browser::list_devices(); }
  void operator()(const effect::OpenFilePicker& e) const { browser::open_file_picker(e.role); }
  void operator()(const effect::CancelFile&) const { browser::cancel_file(); }
  void operator()(const effect::MeasureAgain& e) const {
    browser::measure_again(e.nominal_hz, e.told.tone_is_sure, e.told.near_hz);
  }
  void operator()(const effect::AskNumber& e) const {
    browser::ask_number(e.question, e.label, e.unit, e.value, e.lowest, e.highest);
  }
  void operator()(const effect::ShowHelp& e) const { browser::show_help(e.section); }
  void operator()(const effect::KeepAwake& e) const { browser::keep_awake(e.on); }
  void operator()(const effect::Store& e) const {
    if (!browser::store(e.key, e.value)) browser::post(browser::StorageRefused{});
  }
  void operator()(const effect::KeepVisit& e) const { browser::keep_visit(e.json, e.demo); }
  void operator()(const effect::TakeUpdate&) const { browser::take_update(); }
  void operator()(const effect::OpenSession& e) const {
    program.audio.open_session(e.config);
    program.pictures = {};
    program.seen_dial_count = 0;
  }
  void operator()(const effect::CloseSession&) const { program.audio.close_session(); }
  void operator()(const effect::OpenSong& e) const {
    program.audio.follow_song(e.sample_rate_hz, e.discard_s);
    program.seen_dial_count = 0;
  }
  void operator()(const effect::StartRecording& e) const { program.audio.record_song(e.sample_rate_hz, e.discard_s); }
  void operator()(const effect::HoldRecording&) const {
    program.audio.song().hold_recording();
    browser::offer_song(program.audio.song().reference());
  }
  void operator()(const effect::HoldSong&) const {
    program.audio.song().hold(browser::take_song());
    browser::offer_song(program.audio.song().reference());
  }
  void operator()(const effect::DropSong&) const {
    browser::offer_song({});
    program.audio.song().drop();
  }
  void operator()(const effect::StartTape& e) const { program.audio.start_tape(e.config); }
  void operator()(const effect::TurnTape& e) const { program.audio.turn_tape(e.percent); }
  void operator()(const effect::StopTape&) const { program.audio.stop_tape(); }
};

template <class Cause>
void happen(Program& program, const Cause& cause) {
  for (const Effect& effect : update(program.model, cause)) std::visit(CarryOut{program}, effect);
}

bool take_events(Program& program) {
  const std::vector<browser::Event> events = browser::take_events();
  for (const browser::Event& event : events) happen(program, event);
  return !events.empty();
}

bool watch_input(Program& program, double now_s) {
  const bool listening = program.model.phase == Phase::listening;
  const bool stalled = program.watch.stalled(listening, program.audio.frames_heard(), now_s);
  if (stalled == program.model.interrupted.stalled) return false;
  happen(program, Intent(intent::InputStalled{stalled}));
  return true;
}

bool take_song_reading(Program& program) {
  SongInput& song = program.audio.song();
  if (song.records()) {
    happen(program, Intent(intent::Recorded{song.recorded_s(), song.peak_dbfs()}));
    return true;
  }
  const SongSession* session = song.session();
  if (!session || session->dial_count() == program.seen_dial_count) return false;
  program.seen_dial_count = session->dial_count();
  song.snapshot(program.spare);
  accept_song(program.model, program.spare, session->state(), session->position_s());
  return true;
}

bool take_reading(Program& program) {
  if (program.audio.song().listens()) return take_song_reading(program);
  ToneSession* session = program.audio.session();
  if (!session || session->dial_count() == program.seen_dial_count) return false;
  program.seen_dial_count = session->dial_count();
  refresh(*session, Stretch::newest, program.pictures);
  take_snapshot(*session, wants_whole(program.model), program.pictures, program.spare);
  program.spare.heard_at_s = browser::now_s();
  if (program.audio.one_on_two_channels()) program.spare.channels_identical = true;
  const Effects effects = accept_snapshot(program.model, program.spare);
  for (const Effect& effect : effects) std::visit(CarryOut{program}, effect);
  if (!effects.empty()) program.mirrored_s = -kMirrorEveryS;  // told at once: no frame may come after this one
  return true;
}

bool draw(Program& program) {
  const auto ratio = static_cast<float>(canvas::pixel_ratio());
  if (program.screen.fit(program.model, ratio)) canvas::reload_fonts();
  if (!canvas::begin_frame()) return false;
  program.screen.controls().press(browser::take_drawn_press());
  const Intents intents = program.screen.draw(program.model);
  canvas::end_frame(theme::colours(program.model.daylight).ground);
  for (const Intent& intent : intents) happen(program, intent);
  // What was asked for is seen in the next frame; so is a canvas that has just changed its size.
  if (!intents.empty() || !program.screen.fits(program.model, ratio)) canvas::request_frame();
  return !intents.empty();
}

void tell_page(Program& program, bool at_once, double now_s) {
  if (!at_once && now_s - program.mirrored_s < kMirrorEveryS) return;
  browser::show(mirror_json(program.model));
  program.mirrored_s = now_s;
}

// Where nothing has changed this costs two comparisons.
void tell_of_drawing(DrawnControls& controls, double now_s) {
  if (const auto news = controls.news(now_s)) browser::show_drawn(*news);
  if (controls.waits()) browser::wake_after(DrawnControls::kEveryS);
}

// The microphone's samples ask for frames of their own, as long as they come; the demo's tape is played frame by frame.
void ask_for_more(Program& program, double now_s) {
  if (!is_live(program.model) || now_s < program.wake_s) return;
  const double every_s = program.audio.tape_plays() ? kPlayEveryS : kWatchEveryS;
  browser::wake_after(every_s);
  program.wake_s = now_s + every_s;
}

void frame(void* context) {
  Program& program = *static_cast<Program*>(context);
  const double now_s = browser::now_s();
  bool changed = take_events(program);
  program.audio.advance_tape(now_s);
  changed |= watch_input(program, now_s);
  const bool read = take_reading(program);
  if (read) program.read_s = now_s;
  const bool runs = is_live(program.model) && program.model.snapshot && !program.model.interrupted.any();
  program.model.since_reading_s = runs ? now_s - program.read_s : 0.0;
  changed |= draw(program);
  if (program.pace.next(now_s, runs && !program.less_motion)) canvas::request_frame();
  tell_of_drawing(program.screen.controls(), now_s);
  if (changed || read) tell_page(program, changed, now_s);
  ask_for_more(program, now_s);
}

}  // namespace
}  // namespace four76

int main() {
  static four76::Program program;  // main returns, the frames go on
  ImGui::CreateContext();
  const four76::browser::Host host = four76::browser::host();
  four76::set_language(host.words);  // before anything is told
  program.model.platform = four76::platform_of(host.platform, host.user_agent, host.touch_points);
  program.less_motion = host.less_motion;
  four76::restore_settings(program.model, four76::browser::load);
  four76::canvas::start(four76::frame, &program);
  four76::browser::show_words(four76::words_json(program.model));
  four76::browser::show(four76::mirror_json(program.model));
  return 0;
}
