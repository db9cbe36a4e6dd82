#include "web/run/update.hpp"

#include <algorithm>
#include <cctype>
#include <iterator>
#include <optional>
#include <utility>
#include <variant>

#include "web/coach/update.hpp"
#include "web/song/update.hpp"
#include "web/tone/words.hpp"
#include "web/update.hpp"

namespace four76 {
namespace {

constexpr double kDiscardS = 1.0;  // the first second of a capture is not to be trusted (sources.md#browsers)
constexpr double kNarrowCaptureHz =
    16000.0;  // a Bluetooth headset's microphone runs at 8 or 16 kHz (sources.md#browsers)

// A microphone for speech stays one when the browser converts its sound to a higher rate.
bool is_narrow(const browser::CaptureStarted& capture) {
  const bool device_is = capture.device_rate_hz > 0.0 && capture.device_rate_hz <= kNarrowCaptureHz;
  return device_is || capture.sample_rate_hz <= kNarrowCaptureHz;
}

bool is_named_wav(std::string name) {
  std::transform(name.begin(), name.end(), name.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return name.ends_with(".wav");
}

}  // namespace

void append(Effects& all, Effects more) { std::move(more.begin(), more.end(), std::back_inserter(all)); }

void forget_readings(Model& model) {
  model.causes.judgement.reset();
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
  model.clock.check.reset();
  model.machine.run.reset();
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
  std::optional<ClockCheck> check = model.clock.check;
  const SongCapture captured = model.song.capture;
  const SongFile file = model.song.file;
  Effects effects = end_running(model);
  model.song.capture = captured;  // what is to be tried again
  model.song.file = file;
  if (check && check->stage == ClockCheck::Stage::listening) {
    check->stage = ClockCheck::Stage::refused;
    model.clock.check = std::move(check);
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

Effects stop(Model& model) {
  if (!can_hold(model)) return end_running(model);
  const bool demo = is_demo(model);
  const int channel = model.shown_channel, decimals = model.figure_decimals;
  const auto judgement = model.causes.judgement;
  std::optional<browser::CaptureStarted> capture = std::move(model.capture);
  std::optional<Snapshot> snapshot = std::move(model.snapshot);
  Effects effects = end_running(model);
  model.phase = Phase::held;
  model.held_demo = demo;
  model.machine.held_kept = {};
  model.shown_channel = channel;
  model.figure_decimals = decimals;
  model.causes.judgement = judgement;
  model.capture = std::move(capture);
  model.snapshot = std::move(snapshot);
  return effects;
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

Effects capture_failed(Model& model, const browser::CaptureFailed& failed) {
  if (model.phase != Phase::asking && model.phase != Phase::listening) return {};
  return fail(model, {Failure::Kind::capture, failed.fault, failed.detail});
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

Effects file_failed(Model& model, const browser::FileFailed& failed) {
  if (model.phase != Phase::measuring_file) return {};  // another thing runs already
  return fail(model, {Failure::Kind::file, {}, failed.message, is_named_wav(model.file.name)});
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

}  // namespace four76
