#include "web/words/platform.hpp"

#include "core/phrase.hpp"

namespace four76::words {

PlatformSteps voice_steps(Platform platform) noexcept {
  switch (platform) {
    case Platform::android:
      return {"Android", tr("End any call, try another browser, or plug in a wired or USB microphone."),
              tr("This page has asked the browser to switch echo cancellation, noise suppression and gain control off; "
                 "some phones go on all the same, in the microphone's driver or because a call holds it. End calls and "
                 "close assistants that listen, try the other one of Chrome and Firefox, switch off what the settings "
                 "call voice focus or clear voice, or use a wired or USB microphone: that one is mostly left alone.")};
    case Platform::iphone_ipad:
      return {
          tr("iPhone and iPad"), tr("While it listens, open Control Centre, Mic Mode, and choose Standard."),
          tr("While this page listens, open Control Centre and tap Mic Mode (it is there only while the microphone is "
             "in use): choose Standard or Wide Spectrum, not Voice Isolation. A wired or USB microphone helps too.")};
    case Platform::macos:
      return {
          "Mac", tr("While it listens, open Mic Mode in the menu bar and choose Standard."),
          tr("While this page listens, click the microphone's or camera's sign in the menu bar, then Mic Mode (it is "
             "there only while the microphone is in use): choose Standard or Wide Spectrum, not Voice Isolation.")};
    case Platform::windows:
      return {"Windows", tr("In the sound settings of this input, switch audio enhancements off."),
              tr("Open Settings, System, Sound, and there the input in use: set Audio enhancements to Off. Close what "
                 "the maker or the graphics card installed to remove noise from a microphone (\u201cAI noise\u201d and "
                 "the like), and choose the microphone itself as the input, not the one such a program adds.")};
    case Platform::linux:
      return {"Linux", tr("Choose the microphone itself, not an echo-cancelled one."),
              tr("Look in the sound settings, or in pavucontrol under Input Devices, for a source with echo cancel or "
                 "noise suppression in its name, and choose the microphone itself instead. The PulseAudio module is "
                 "module-echo-cancel; PipeWire has one of the same name, and filter chains for noise.")};
    case Platform::unknown: break;
  }
  return {tr("Other"), tr("Switch voice enhancement off in the system's sound settings, or use a cable."),
          tr("Look in the system's sound settings for what improves a voice, and switch it off; or use a cable.")};
}

std::string_view microphone_steps(Platform platform) noexcept {
  switch (platform) {
    case Platform::android:
      return tr("If the phone itself forbids it: Settings, Apps, this browser, Permissions, Microphone.");
    case Platform::iphone_ipad:
      return tr("If the device itself forbids it: Settings, Privacy & Security, Microphone, this browser.");
    case Platform::macos:
      return tr("If the computer itself forbids it: System Settings, Privacy & Security, Microphone.");
    case Platform::windows: return tr("If the computer itself forbids it: Settings, Privacy, Microphone.");
    case Platform::linux:
    case Platform::unknown: break;
  }
  return "";
}

std::string processing_doubt(const browser::CaptureStarted& capture) {
  using browser::Processing;
  const std::pair<Processing, Phrase> all[] = {{capture.noise_suppression, Phrase("noise suppression")},
                                               {capture.gain_control, Phrase("gain control")},
                                               {capture.voice_isolation, Phrase("voice isolation")},
                                               {capture.echo_cancellation, Phrase("echo cancellation")}};
  for (const auto& [state, name] : all)
    if (state == Processing::on) return say("The browser says that {0} is still ON.", tr(name));
  if (capture.noise_suppression == Processing::unknown)
    return say("The browser does not say whether noise suppression is off.");
  return "";
}

}  // namespace four76::words
