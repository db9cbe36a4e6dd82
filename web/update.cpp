#include "web/update.hpp"

#include <algorithm>
#include <cctype>
#include <string>
#include <type_traits>
#include <utility>
#include <variant>

#include "web/update_parts.hpp"
#include "web/words.hpp"

namespace four76 {

void append(Effects& all, Effects more) { std::move(more.begin(), more.end(), std::back_inserter(all)); }

void forget_readings(Model& model) {
  model.judgement.reset();
  model.snapshot.reset();
  model.shown_channel = model.settings.channel == ChannelChoice::right ? 1 : 0;
  model.figure_decimals = 1;
  restart_coach(model);
  model.job.watched_s = 0.0;
}

Effects end_running(Model& model) {
  Effects effects;
  if (model.phase == Phase::listening || model.phase == Phase::asking) effects.push_back(effect::StopCapture{});
  if (model.phase == Phase::demo) {
    effects.push_back(effect::StopTape{});
    leave_demo(model);
  }
  if (is_live(model)) {
    effects.push_back(effect::CloseSession{});
    effects.push_back(effect::KeepAwake{false});
  }
  if (model.phase == Phase::measuring_file) effects.push_back(effect::CancelFile{});
  model.phase = Phase::idle;
  model.capture.reset();
  model.failure.reset();
  model.clock_check.reset();
  model.measure_run.reset();
  model.friends.answering = false;
  model.interrupted = {};
  model.file = {};
  model.job.watch.reset();
  model.told = {};
  end_song(model);
  forget_readings(model);
  return effects;
}

Effects end_for_file(Model& model) {
  Effects effects = end_running(model);
  std::erase_if(effects, [](const Effect& effect) { return std::holds_alternative<effect::CancelFile>(effect); });
  return effects;
}

Effects fail(Model& model, Failure failure) {
  std::optional<ClockCheck> check = model.clock_check;
  const SongCapture captured = model.song.capture;
  const SongFile file = model.song.file;
  Effects effects = end_running(model);
  model.song.capture = captured;  // what is to be tried again
  model.song.file = file;
  if (check && check->stage == ClockCheck::Stage::listening) {
    check->stage = ClockCheck::Stage::refused;
    model.clock_check = std::move(check);
  }
  model.phase = Phase::failed;
  model.failure = std::move(failure);
  return effects;
}

Effects open_session(Model& model, double discard_s) {
  if (in_song(model)) return song_captured(model, discard_s);
  ToneSession::Config config;
  config.nominal_hz = nominal_hz(model);
  config.tone_is_sure = model.told.tone_is_sure || checks_clock(model);
  if (!checks_clock(model)) config.near_hz = model.told.near_hz;
  if (model.capture) {
    config.sample_rate_hz = model.capture->sample_rate_hz;
    if (const CheckedClock* clock = clock_in_use(model))
      config.sample_rate_hz = true_sample_rate_hz(config.sample_rate_hz, clock->correction.fast_ppm);
    config.channels = model.capture->channels;
    config.live_capture = true;
    config.discard_s = discard_s;
  }
  if (const auto fault = ToneSession::fault_in(config)) {
    return fail(model, {Failure::Kind::settings, {}, std::string(*fault)});
  }
  return {effect::OpenSession{config}};
}

Effects listen(Model& model) {
  Effects effects = end_running(model);
  model.link_fault.clear();
  model.phase = Phase::asking;
  effects.push_back(effect::StartCapture{model.settings.device_id});
  return effects;
}

namespace {

constexpr double kDiscardS = 1.0;  // the first second of a capture is not to be trusted (sources.md#browsers)
constexpr double kNarrowCaptureHz =
    16000.0;  // a Bluetooth headset's microphone runs at 8 or 16 kHz (sources.md#browsers)

template <class... Handlers>
struct Overloaded : Handlers... {
  using Handlers::operator()...;
};
template <class... Handlers>
Overloaded(Handlers...) -> Overloaded<Handlers...>;

// What was heard last stays on show: the figure, its course and flutter, to be put on a card.
Effects stop(Model& model) {
  if (!can_hold(model)) return end_running(model);
  const bool demo = is_demo(model);
  const int channel = model.shown_channel, decimals = model.figure_decimals;
  const auto judgement = model.judgement;
  std::optional<browser::CaptureStarted> capture = std::move(model.capture);
  std::optional<Snapshot> snapshot = std::move(model.snapshot);
  Effects effects = end_running(model);
  model.phase = Phase::held;
  model.held_demo = demo;
  model.held_kept = {};
  model.shown_channel = channel;
  model.figure_decimals = decimals;
  model.judgement = judgement;
  model.capture = std::move(capture);
  model.snapshot = std::move(snapshot);
  return effects;
}

Effects take_update(Model& model) {
  // The page reloads: never in the middle of a measurement.
  const bool busy = is_live(model) || model.phase == Phase::asking || model.phase == Phase::measuring_file;
  if (!model.update_ready || busy) return {};
  return {effect::TakeUpdate{}};
}

// A microphone for speech stays one when the browser converts its sound to a higher rate.
bool is_narrow(const browser::CaptureStarted& capture) {
  const bool device_is = capture.device_rate_hz > 0.0 && capture.device_rate_hz <= kNarrowCaptureHz;
  return device_is || capture.sample_rate_hz <= kNarrowCaptureHz;
}

Effects capture_started(Model& model, const browser::CaptureStarted& capture) {
  if (model.phase != Phase::asking)
    return {effect::StopCapture{}};  // the person stopped or chose something else meanwhile
  if (is_narrow(capture)) {
    Effects effects = fail(model, {Failure::Kind::narrow, {}, {}});
    effects.push_back(effect::ListDevices{});  // another one can be chosen by its name
    return effects;
  }
  model.phase = Phase::listening;
  model.capture = capture;
  model.interrupted = {};
  forget_readings(model);
  Effects effects = open_session(model, kDiscardS);
  if (model.phase != Phase::listening) return effects;
  effects.push_back(effect::ListDevices{});
  effects.push_back(effect::KeepAwake{true});
  return effects;
}

Effects interrupted(Model& model, browser::Interruption what) {
  using browser::Interruption;
  const bool listening = model.phase == Phase::listening;
  interrupt_watch(model, what);
  switch (what) {
    case Interruption::device_ended:
      if (!listening && model.phase != Phase::asking) return {};
      return fail(model, {Failure::Kind::interrupted, {}, {}});
    case Interruption::muted: model.interrupted.muted = listening; break;
    case Interruption::unmuted: model.interrupted.muted = false; break;
    case Interruption::suspended: model.interrupted.suspended = listening; break;
    case Interruption::resumed: model.interrupted.suspended = false; break;
    case Interruption::hidden: model.interrupted.hidden = is_live(model); break;
    case Interruption::visible:
      model.interrupted.hidden = false;
      // The browser lets go of the wake lock whenever the page is hidden.
      if (is_live(model)) return {effect::KeepAwake{true}};
      break;
  }
  return {};
}

Effects file_started(Model& model, std::string name) {
  Effects effects = end_for_file(model);
  model.bench = Bench::tone;
  model.phase = Phase::measuring_file;
  model.file = {std::move(name), 0.0};
  return effects;
}

Effects file_measured(Model& model, std::span<const std::uint8_t> bytes) {
  if (model.phase != Phase::measuring_file || in_song(model)) return {};
  std::optional<Snapshot> snapshot = decode(bytes);
  if (!snapshot) return fail(model, {Failure::Kind::file, {}, words::file_lost()});
  model.phase = Phase::file_shown;
  accept_snapshot(model, *snapshot);
  if (!model.snapshot)
    return fail(model, {Failure::Kind::settings, {}, words::measure_again(model.settings.nominal_hz)});
  return {};
}

bool is_named_wav(std::string name) {
  std::transform(name.begin(), name.end(), name.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return name.ends_with(".wav");
}

Effects on(Model& model, std::optional<Intent> intent) { return intent ? update(model, *intent) : Effects{}; }

}  // namespace

Effects update(Model& model, const Intent& intent) {
  namespace in = intent;
  return std::visit(
      Overloaded{
          // Whoever was asked by a link listens for the one who asked.
          [&](const in::Listen&) {
            if (!can_listen(model)) return Effects{};
            return can_answer(model) && !model.friends.answered ? answer_friend(model) : listen(model);
          },
          [&](const in::Stop&) { return stop(model); },
          [&](const in::Clear&) { return is_held(model) ? end_running(model) : Effects{}; },
          [&](const in::StartDemo&) { return can_demo(model) ? start_demo(model) : Effects{}; },
          [&](const in::OpenFile&) { return Effects{effect::OpenFilePicker{}}; },
          [&](const in::ChooseTone& chosen) { return choose_tone(model, chosen.hz); },
          [&](const in::SureOfTone&) { return sure_of_tone(model); },
          [&](const in::ChooseNear& chosen) { return choose_near(model, chosen.hz); },
          [&](const in::AskTone&) { return ask_tone(model); },
          [&](const in::ChooseTolerance& chosen) { return choose_tolerance(model, chosen.percent); },
          [&](const in::AskTolerance&) { return ask_tolerance(model); },
          [&](const in::ChooseTapeTolerance& chosen) { return choose_tape_tolerance(model, chosen.percent); },
          [&](const in::AskTapeTolerance&) { return ask_tape_tolerance(model); },
          [&](const in::CheckClock& wanted) { return check_clock(model, wanted); },
          [&](const in::KeepClock& keep) { return keep_clock(model, keep); },
          [&](const in::ForgetClock& forget) { return forget_clock(model, forget.index); },
          [&](const in::ForgetBrokenClocks&) { return forget_broken_clocks(model); },
          [&](const in::CloseClockCheck&) { return close_clock_check(model); },
          [&](const in::ChooseUnit& chosen) { return choose_unit(model, chosen.unit); },
          [&](const in::NextUnit&) {
            return choose_unit(model, static_cast<Unit>((static_cast<int>(model.settings.unit) + 1) % 3));
          },
          [&](const in::ChooseChannel& chosen) { return choose_channel(model, chosen.channel); },
          [&](const in::ChooseDevice& chosen) { return choose_device(model, chosen.id); },
          [&](const in::TurnTrimmer& turn) { return set_trimmer(model, model.trim_percent + turn.percent); },
          [&](const in::SetTrimmer& set) { return set_trimmer(model, set.percent); },
          [&](const in::TakeUpdate&) { return take_update(model); },
          [&](const in::ShowHelp& help) { return Effects{effect::ShowHelp{help.section}}; },
          [&](const in::VisitStored&) {
            model.visit_said = std::exchange(model.visit_on_its_way, {});
            return Effects{};
          },
          [&](const in::ScreenTold& told) { return model.screen_may_go_dark = told.may_go_dark, Effects{}; },
          [&](const in::ChooseLook& chosen) { return model.daylight = chosen.daylight, Effects{}; },
          [&](const in::ChooseTrace& chosen) { return choose_trace(model, chosen.trace); },
          [&](const in::NextTrace&) {
            return choose_trace(model, static_cast<Trace>((static_cast<int>(model.settings.trace) + 1) % 3));
          },
          [&](const in::ChooseView& chosen) { return choose_view(model, chosen.view); },
          [&](const in::NextView&) {
            return choose_view(model, model.view == View::flutter ? View::speed : View::flutter);
          },
          [&](const in::ChoosePlace& chosen) { return choose_place(model, chosen.place); },
          [&](const in::ChooseVisitSeconds& chosen) { return choose_visit_seconds(model, chosen.seconds); },
          [&](const in::MeasureVisit& wanted) { return measure_visit(model, wanted.stage); },
          [&](const in::AnswerFriend&) { return answer_friend(model); },
          [&](const in::LinkFiled&) { return link_filed(model); },
          [&](const in::ShowWatch& shown) { return model.job.watch_shown = shown.on, Effects{}; },
          [&](const in::ShowCoach& shown) { return model.job.coach_shown = shown.on, Effects{}; },
          [&](const in::CardsChanged& changed) { return model.cards = changed.state, Effects{}; },
          [&](const in::Measure&) { return measure(model); },
          [&](const in::ForgetMeasured&) { return forget_measured(model); },
          [&](const in::EnterParts& entered) { return enter_parts(model, entered.text); },
          [&](const in::TurnedScrew& turned) { return turned_screw(model, turned); },
          [&](const in::KnowScrew& known) { return know_screw(model, known.clockwise_is_faster); },
          [&](const in::OpenSongBench&) { return open_song_bench(model); },
          [&](const in::CloseSongBench&) { return close_song_bench(model); },
          [&](const in::OpenReference&) { return open_song_file(model, SongFile::reference); },
          [&](const in::RecordReference&) { return capture_song(model, SongCapture::reference); },
          [&](const in::UseRecording&) { return use_recording(model); },
          [&](const in::ForgetReference&) { return forget_reference(model); },
          [&](const in::PlayTape&) { return capture_song(model, SongCapture::tape); },
          [&](const in::OpenTape&) { return open_song_file(model, SongFile::tape); },
          [&](const in::KeepTape& keep) { return keep_tape(model, keep); },
          [&](const in::ForgetTape& forget) { return forget_tape(model, forget.index); },
          [&](const in::ForgetBrokenTapes&) { return forget_broken_tapes(model); },
          [&](const in::NameMachine& named) { return name_machine(model, named.name); },
          [&](const in::Recorded& so_far) { return recorded(model, so_far); },
          [&](const in::InputStalled& input) {
            model.interrupted.stalled = input.stalled && is_live(model);
            return Effects{};
          },
      },
      intent);
}

Effects update(Model& model, const browser::Event& event) {
  return std::visit(Overloaded{
                        [&](const browser::CaptureStarted& capture) { return capture_started(model, capture); },
                        [&](const browser::CaptureFailed& failed) {
                          if (model.phase != Phase::asking && model.phase != Phase::listening) return Effects{};
                          return fail(model, {Failure::Kind::capture, failed.fault, failed.detail});
                        },
                        [&](const browser::CaptureInterrupted& event_) { return interrupted(model, event_.what); },
                        [&](const browser::DevicesListed& listed) { return model.devices = listed.devices, Effects{}; },
                        [&](const browser::FileStarted& file) { return file_started(model, file.name); },
                        [&](const browser::FileProgress& progress) {
                          model.file.fraction = std::clamp(progress.fraction, 0.0, 1.0);
                          return Effects{};
                        },
                        [&](const browser::FileFailed& failed) {
                          if (model.phase != Phase::measuring_file) return Effects{};  // another thing runs already
                          return fail(model, {Failure::Kind::file, {}, failed.message, is_named_wav(model.file.name)});
                        },
                        [&](const browser::FileMeasured& file) { return file_measured(model, file.snapshot); },
                        [&](const browser::SongFileStarted& file) { return song_file_started(model, file); },
                        [&](const browser::SongRead& read) { return song_read(model, read.seconds); },
                        [&](const browser::SongMatched& song) { return song_matched(model, song.result); },
                        [&](const browser::NumberEntered& entered) { return number_entered(model, entered); },
                        [&](const browser::ButtonPressed& button) { return on(model, intent_of_button(button.act)); },
                        [&](const browser::ControlChanged& control) {
                          return on(model, intent_of_control(control.name, control.value));
                        },
                        [&](const browser::StorageRefused&) { return model.storage_refused = true, Effects{}; },
                        [&](const browser::UpdateReady&) { return model.update_ready = true, Effects{}; },
                        [&](const browser::FragmentOpened& opened) { return open_link(model, opened.fragment); },
                        [&](const browser::DrawingLost&) { return model.drawing_lost = true, Effects{}; },
                        [&](const browser::DrawingRestored&) { return model.drawing_lost = false, Effects{}; },
                    },
                    event);
}

}  // namespace four76
