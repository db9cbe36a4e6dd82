#include "web/words/advice.hpp"

#include <array>
#include <string>

#include "core/phrase.hpp"
#include "web/song/words.hpp"
#include "web/words/numbers.hpp"
#include "web/words/platform.hpp"

namespace four76::words {
namespace {

Advice wrong_tone(const Model& model) {
  const std::optional<double> other = suggested_tone_hz(model);
  if (!other)
    return {say("The tone looks like another standard one."),
            say("Is it a 3150 Hz tape? Look at its label and choose that tone.")};
  return {say("This reads like a {0} tape.", hertz(*other)),
          say("You chose {0}: look at the tape's label.", hertz(model.settings.nominal_hz))};
}

Advice two_tones(const std::array<double, 2>& tones_hz) {
  return {say("{0} or {1}: which is the tape's?", tone_heard(tones_hz[0]), tone_heard(tones_hz[1])),
          say("Stop the tape: the tone that goes on is not.")};
}

// One of two tones is known not to be the tape's.
Advice without_a_tone(double hz) {
  return {say("A steady tone at {0} is not the tape's.", tone_heard(hz)),
          say("It is left out. Without it the reading would be better still.")};
}

// What a page that listens says; with a recording there is no machine to turn and no phone to move.
struct Told {
  std::string_view what, live, recording;
};

Told told(Reason reason) {
  switch (reason) {
    case Reason::no_tone:
      return {"", tr("Is the tape playing, loud enough, and the right tone chosen?"),
              tr("Does the recording hold the speed tape's tone? Is the right tone chosen?")};
    case Reason::too_quiet:
      return {tr("Too quiet."), tr("Turn the machine up, move the phone nearer to its speaker, or use a cable."),
              tr("Record it again, louder, nearer or by cable.")};
    case Reason::room_noise:
      return {tr("Noise beside the tone."),
              tr("Move the phone nearer to the speaker, switch off the fan, close the window, or use a cable."),
              tr("Record it again in a quieter place, nearer or by cable.")};
    case Reason::competing_tone:
      return {tr("Another tone is close by."),
              tr("Find what whistles or plays beside the machine and switch it off, or use a cable."),
              tr("Silence what whistles or plays beside the machine, then record it again.")};
    case Reason::mains_hum:
      return {tr("Mains hum lies beside the tone."),
              tr("Use a cable, or move away from transformers and lamps; a 3150 Hz tape avoids it."),
              tr("Record it again by cable or away from transformers; a 3150 Hz tape avoids it.")};
    case Reason::clipping:
      return {tr("Too loud: the input is overdriven."), tr("Turn the machine down, or move the phone away a little."),
              tr("Record it again with the level turned down.")};
    case Reason::capture_gap:
      return {tr("The device lost some samples."),
              tr("That stretch is left out. Close other programs and pages if it goes on."),
              tr("That stretch is left out. Close other programs and record it again if much is missing.")};
    case Reason::tape_dropout:
      return {tr("The tone fell away for a moment."),
              tr("Clean the head; if it comes at the same place again, it is the tape: use another stretch."),
              tr("Clean the head; if it comes at the same place again, it is the tape: use another stretch.")};
    case Reason::narrow_capture:
      return {tr("This microphone hears only speech."),
              tr("Choose one that is not Bluetooth: the phone's own, or a cable."),
              tr("Record it at 44100 Hz or more, not over a headset.")};
    case Reason::channels_differ:
      return {tr("Left and right do not agree."), tr("Choose one channel, the one that is connected to the machine."),
              tr("Choose one channel, or look at the cable and record it again.")};
    case Reason::too_short:
      return {tr("Not enough of the tone yet."), tr("Wait a moment, with the tape playing."),
              tr("Record ten seconds of it at the least; thirty are better.")};
    case Reason::not_steady:
      return {tr("The speed is still moving."),
              tr("Let it settle; a machine just switched on wants some minutes to warm up."),
              tr("Let the machine warm up for some minutes, then record it again.")};
    case Reason::voice_processing:
    case Reason::wrong_tone: break;  // of their own
  }
  return {tr("Something is wrong with the signal."), tr("Look at the spectrum."), tr("Look at the spectrum.")};
}

Advice voice_processing(const Model& model) {
  const std::string what = say("The device changes the sound as if it were speech.");
  if (is_file(model)) {
    return {what, say("Record it again with voice enhancement and automatic level switched off, or by cable.")};
  }
  const std::string doubt = model.capture ? processing_doubt(*model.capture) : "";
  return {what, (doubt.empty() ? "" : doubt + " ") + std::string(voice_steps(model.platform).brief)};
}

}  // namespace

Advice advice(Reason reason, const Model& model) {
  if (in_song(model))
    if (auto found = song_advice(reason)) return *found;
  if (reason == Reason::wrong_tone) return wrong_tone(model);
  const Reading* reading = shown_reading(model);
  if (reason == Reason::competing_tone && reading && reading->candidates_hz) return two_tones(*reading->candidates_hz);
  if (reason == Reason::competing_tone && reading && reading->taken_out_hz)
    return without_a_tone(*reading->taken_out_hz);
  if (reason == Reason::voice_processing) return voice_processing(model);
  const Told words = told(reason);
  const std::string what =
      reason == Reason::no_tone ? say("No tone near {0}.", hertz(nominal_hz(model))) : std::string(words.what);
  return {what, std::string(is_file(model) ? words.recording : words.live)};
}

namespace {

Advice capture_advice(browser::CaptureFault fault) {
  using browser::CaptureFault;
  switch (fault) {
    case CaptureFault::permission_denied:
      return {say("The browser may not use the microphone."),
              say("Allow it in the address bar or in the browser's site settings, then tap Listen again.")};
    case CaptureFault::no_device:
      return {say("No microphone was found."), say("Plug one in, or open a recording instead. Then tap Listen again.")};
    case CaptureFault::device_busy:
      return {say("The microphone is in use."), say("Close the call or program that holds it, then tap Listen again.")};
    case CaptureFault::device_unsuited:
      return {say("The chosen microphone is not there any more."),
              say("Choose another one under Input, then tap Listen again.")};
    case CaptureFault::insecure_origin:
      return {say("A browser gives the microphone only to a secure page."),
              say("Open this page by https, or as localhost; or open a recording.")};
    case CaptureFault::never_answered:
      return {say("The browser did not answer."),
              say("Look for its question behind other windows, then tap Listen again.")};
    case CaptureFault::not_supported:
      return {say("This browser cannot hand over sound unchanged."),
              say("Use a current Firefox, Chrome or Safari, or open a recording.")};
    case CaptureFault::other:
      return {say("The microphone could not be started."), say("Tap Listen again, or choose another one under Input.")};
  }
  return {say("The microphone could not be started."), say("Tap Listen again.")};
}

}  // namespace

Advice advice(const Failure& failure, Platform platform) {
  switch (failure.kind) {
    case Failure::Kind::capture: {
      Advice found = capture_advice(failure.fault);
      const std::string_view system = microphone_steps(platform);
      if (failure.fault == browser::CaptureFault::permission_denied && !system.empty())
        found.todo.append(1, ' ').append(system);
      return found;
    }
    case Failure::Kind::narrow:
      return {say("This microphone hears only speech."),
              say("Choose one that is not Bluetooth under Input, the phone's own or a cable, then tap Listen again.")};
    case Failure::Kind::interrupted:
      return {say("The microphone went away."),
              say("It was unplugged, or a call took it. Tap Listen when it is back, or choose another one.")};
    case Failure::Kind::file:
      return {failure.detail.empty() ? say("The file could not be measured.") : failure.detail,
              failure.named_wav
                  ? say("Open another one: whatever its name says, this one holds no sound that can be read.")
                  : say("Open another one: WAV is the safest kind.")};
    case Failure::Kind::settings: return {failure.detail, ""};
  }
  return {"", ""};
}

std::optional<Advice> advice(const Interrupted& interrupted) {
  if (interrupted.muted) {
    return Advice{say("The device has muted the microphone."),
                  say("Unmute it; a call or another page may hold it. Measuring goes on by itself.")};
  }
  if (interrupted.suspended) {
    return Advice{say("The browser has paused the sound."),
                  say("Wait a moment: measuring goes on by itself. If it does not, tap Stop, then Listen.")};
  }
  if (interrupted.stalled)
    return Advice{say("No sound arrives any more."), say("Wait a moment; else tap Stop, then Listen again.")};
  if (interrupted.hidden)
    return Advice{say("The page is in the background."), say("Bring it to the front: the number is an old one.")};
  return std::nullopt;
}

std::string_view again(const Model& model) noexcept {
  const auto kind = model.failure ? model.failure->kind : Failure::Kind::capture;
  const bool file = kind == Failure::Kind::file || (kind == Failure::Kind::settings && model.bench == Bench::tone);
  if (!in_song(model)) return file ? "act-open-file" : "act-listen";
  if (file) return model.song.file == SongFile::tape ? "act-song-file" : "act-song-reference";
  return model.song.capture == SongCapture::reference ? "act-song-record" : "act-song-listen";
}

}  // namespace four76::words
