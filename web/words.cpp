// The hint, the messages and the names; numbers are in words_numbers.cpp, advice in words_advice.cpp.
#include "web/words.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace four76::words {
namespace {

// Beyond this a trimmer is not what the machine needs: adjustment ranges are some percent (common practice).
constexpr double kBeyondTrimmerPercent = 6.0;
// Trusted stretch after which the calm reading will not get much better.
constexpr double kCalmEnoughS = 9.0;

std::string joined(const Advice& advice) { return advice.todo.empty() ? advice.what : advice.what + " " + advice.todo; }

std::string how_to_turn(const Model& model, bool fast, double error) {
  if (is_file(model)) return "";
  if (model.phase == Phase::demo) {
    return fast ? "Turn the screw to the left, or tap \u2212." : "Turn the screw to the right, or tap +.";
  }
  if (std::fabs(error) > kBeyondTrimmerPercent) {
    return "That is more than a trimmer makes up for: look at belt, pinch roller and dirt first, and at the tape's "
           "label.";
  }
  return "Turn a little and watch the figure: if it grows, turn back.";
}

Hint off_speed(const Model& model, const Reading& reading) {
  const double error = *reading.speed_error_percent;
  const bool fast = error > 0.0;
  const int supported = supported_decimals(*reading.u95_percent, 2);
  const int decimals = &reading == shown_reading(model) ? std::min(supported, model.figure_decimals) : supported;
  const std::string amount = fixed(std::fabs(error), decimals) + " %";
  const std::string_view which = fast ? " fast" : " slow";
  const std::string_view todo = is_file(model) ? "" : fast ? ": slow it down" : ": speed it up";
  return {fast ? Way::slower : Way::faster, "Runs " + amount + std::string(which) + std::string(todo),
          how_to_turn(model, fast, error)};
}

// Whose uncertainty it is that reaches across the limit.
std::string why_at_the_edge(const Model& model, double size, double own) {
  const double tolerance = model.settings.tolerance_percent;
  if (size + own > tolerance && size - own <= tolerance)
    return "The uncertainty reaches across it: this signal cannot tell which side.";
  return model.settings.tape_tolerance_percent
             ? "What this tape and this clock may be off reaches across it: a truer tape could tell which side."
             : "What this clock may be off reaches across it: checking the clock could tell which side.";
}

// All that may be off counts: what the tape and the clock add as well.
Hint verdict(const Model& model, const Reading& reading) {
  const double tolerance = model.settings.tolerance_percent;
  const auto all = budget(model);
  const double size = std::fabs(*reading.speed_error_percent), own = *reading.u95_percent;
  const double u95 = all && all->terms.sum_percent ? *all->terms.sum_percent : own;
  const std::string limit = percent(tolerance);
  if (size + u95 <= tolerance) {
    return {Way::leave, "Within " + limit + (is_file(model) ? "" : ": leave it"),
            is_live(model) && reading.trusted_s < kCalmEnoughS
                ? "Watch it for ten seconds before you put the screwdriver down."
                : ""};
  }
  if (size - u95 > tolerance) return off_speed(model, reading);
  if (is_live(model) && reading.trusted_s < kCalmEnoughS) {
    return {Way::wait, "Close to " + limit + ": wait a moment",
            "Ten calm seconds tell which side of it the machine is on."};
  }
  return {Way::wait, "At the edge of " + limit, why_at_the_edge(model, size, own)};
}

Hint distrust(const Model& model, const Reading* reading) {
  if (const auto stopped = advice(model.interrupted)) return {Way::distrust, stopped->what, stopped->todo};
  const bool other_tape = reading && reading->reasons.contains(Reason::wrong_tone);
  const Reason first = other_tape                             ? Reason::wrong_tone
                       : !reading || reading->reasons.empty() ? Reason::no_tone
                                                              : *reading->reasons.begin();
  const Advice found = advice(first, model);
  return {Way::distrust, found.what, found.todo};
}

Hint running_hint(const Model& model) {
  const Reading* reading = shown_reading(model);
  if (checks_clock(model)) return {Way::wait, "Checking this device's clock", clock_said(model)};
  switch (trust(model)) {
    case Trust::waiting:
      if (model.interrupted.any()) return distrust(model, reading);
      return {Way::wait, "Listening\u2026", "The first reading comes in a second or two."};
    case Trust::good: return verdict(model, *judged_reading(model));
    case Trust::doubtful:
    case Trust::nothing: return distrust(model, reading);
  }
  return {};
}

bool any_processing_on(const browser::CaptureStarted& capture) {
  using browser::Processing;
  return capture.echo_cancellation == Processing::on || capture.noise_suppression == Processing::on ||
         capture.gain_control == Processing::on || capture.voice_isolation == Processing::on;
}

std::string_view processing_word(browser::Processing processing) {
  switch (processing) {
    case browser::Processing::off: return " off";
    case browser::Processing::on: return " ON";
    case browser::Processing::unknown: return " unknown";
  }
  return " unknown";
}

std::string channel_in_use(const Model& model) {
  if (!model.snapshot || model.snapshot->channels < 2) return "one channel";
  return model.shown_channel == 1 ? "right channel" : "left channel";
}

}  // namespace

Hint hint(const Model& model) {
  switch (model.phase) {
    case Phase::idle:
      return {Way::none, "Play a speed tape and tap Listen",
              "Lean the phone on the machine's speaker, or use a cable."};
    case Phase::asking:
      return {Way::wait, "May this page use the microphone?",
              "Answer the browser's question. Nothing that it hears leaves this device."};
    case Phase::measuring_file:
      return {Way::wait, "Measuring " + fixed(100.0 * model.file.fraction, 0) + " %", model.file.name};
    case Phase::failed: {
      const Advice found = model.failure ? advice(*model.failure) : Advice{};
      return {Way::distrust, found.what, ""};  // what to do is a message, with the button that does it
    }
    case Phase::listening:
    case Phase::demo:
    case Phase::file_shown: return running_hint(model);
  }
  return {};
}

std::vector<Message> messages(const Model& model) {
  using Weight = Message::Weight;
  std::vector<Message> all;
  if (model.phase == Phase::failed && model.failure) {
    const bool file = model.failure->kind == Failure::Kind::file || model.failure->kind == Failure::Kind::settings;
    const Advice found = advice(*model.failure);
    all.push_back({Weight::fault, found.todo.empty() ? found.what : found.todo, file ? "act-open-file" : "act-listen"});
  }
  if (const auto stopped = advice(model.interrupted)) all.push_back({Weight::warning, joined(*stopped), "act-stop"});
  if (is_file(model) && model.snapshot && model.snapshot->cut_short) {
    all.push_back({Weight::warning,
                   "The file ends after " + fixed(model.snapshot->time_s, 1) +
                       " s, though it should be longer: only that was measured. Copy it again if sound is missing.",
                   ""});
  }
  if (is_file(model) && model.snapshot && model.snapshot->channels_identical == true) {
    all.push_back({Weight::fact,
                   "Both channels carry the same signal: a mono source. That they agree says nothing of the machine's "
                   "second channel.",
                   ""});
  }
  if (shown_channel(model) && model.snapshot->channels_agree == false) {
    all.push_back({Weight::warning, joined(advice(Reason::channels_differ, model)), ""});
  }
  if (model.capture && any_processing_on(*model.capture)) {
    all.push_back({Weight::warning,
                   "This browser or device keeps changing the sound, which can spoil a reading. " +
                       processing(*model.capture) + " Choose another microphone or browser, or use a cable.",
                   ""});
  }
  if (model.clocks_set_aside) {
    all.push_back({Weight::warning,
                   "What was kept here of clock checks is damaged and was set aside: nothing is corrected. Check this "
                   "device's clock again.",
                   "act-forget-clocks"});
  }
  if (!model.link_fault.empty())
    all.push_back({Weight::warning, std::string(model.link_fault) + " Nothing was changed.", ""});
  if (!model.link_note.empty()) all.push_back({Weight::fact, "The link says: " + model.link_note, ""});
  if (model.update_ready) {
    all.push_back(
        {Weight::fact, "A newer version is ready. It is taken when you say so, not while measuring.", "act-update"});
  }
  return all;
}

std::string spoken(const Model& model) {
  const Hint now = hint(model);
  const Reading* reading = shown_reading(model);
  if (model.phase == Phase::failed && model.failure) return joined(advice(*model.failure));
  if (checks_clock(model)) return joined({now.text + ".", now.detail});
  if (!reading || trust(model) != Trust::good)
    return joined({now.text + (now.text.ends_with('.') ? "" : "."), now.detail});
  const int decimals = supported_decimals(*reading->u95_percent, is_file(model) ? 3 : 2);
  const double error = *reading->speed_error_percent;
  const std::string amount = fixed(std::fabs(error), decimals);
  const std::string spread =
      plus_minus(*reading->u95_percent, decimals).substr(2);  // without the two bytes of the sign
  return "Runs " + amount + " percent " + (error < 0.0 ? "slow" : "fast") + ", plus or minus " + spread + " percent. " +
         now.text + ".";
}

std::string status_line(const Model& model) {
  switch (model.phase) {
    case Phase::idle: return "Nothing is being measured";
    case Phase::asking: return "Waiting for the browser's permission";
    case Phase::listening: {
      if (checks_clock(model)) return "Checking the clock against " + hertz(nominal_hz(model));
      const std::string rate = model.capture ? ", " + kilohertz(model.capture->sample_rate_hz) : "";
      return "Listening" + rate + ", " + channel_in_use(model);
    }
    case Phase::demo: return "Demo: simulated tape";
    case Phase::measuring_file: return "Measuring " + model.file.name;
    case Phase::file_shown: return model.file.name + ", all of it, " + channel_in_use(model);
    case Phase::failed: return "Not measuring";
  }
  return "";
}

std::string against(const Model& model) {
  if (checks_clock(model)) return "against " + hertz(nominal_hz(model));
  const Settings& settings = model.settings;
  return hertz(settings.nominal_hz) + " tape, within " + percent(settings.tolerance_percent);
}

std::string_view heard(const Model& model) noexcept {
  if (is_file(model)) return "What the recording holds";
  return model.phase == Phase::demo ? "What the simulated tape sounds like" : "What the microphone hears";
}

std::string processing(const browser::CaptureStarted& capture) {
  std::string text = "The browser says: echo cancellation";
  text += processing_word(capture.echo_cancellation);
  text += ", noise suppression";
  text += processing_word(capture.noise_suppression);
  text += ", gain control";
  text += processing_word(capture.gain_control);
  if (capture.voice_isolation != browser::Processing::unknown) {
    text += ", voice isolation";
    text += processing_word(capture.voice_isolation);
  }
  return text + ".";
}

std::span<const std::string_view> first_steps() noexcept {
  static constexpr std::array<std::string_view, 4> kSteps = {
      "Put a speed tape into the machine: a steady tone of 3000 or 3150 Hz is on it.",
      "Play it, and lean the phone on the speaker, or run a cable from the headphone socket.",
      "Tap Listen. Read how fast or slow the machine runs, and which way to turn.",
      "No tape at hand? The demo shows the whole job."};
  return kSteps;
}
std::string measure_again(double hz) { return "Open the file again to measure it against " + hertz(hz) + "."; }
std::string file_lost() { return "The file's result could not be read."; }
std::string_view ask_tone_label() noexcept { return "Tone on the tape"; }
std::string_view ask_tape_tolerance_label() noexcept { return "How far the tape's own tone may be off"; }
std::string_view ask_tolerance_label() noexcept { return "How far off is still good"; }

std::string tone_name(double hz) { return hertz(hz); }

std::string tolerance_name(double tolerance) {
  std::string_view source = "own";
  for (const Tolerance& each : kTolerances)
    if (each.percent == tolerance) source = each.source;
  return percent(tolerance) + ", " + std::string(source);
}

std::string tape_tolerance_name(std::optional<double> tolerance) {
  return tolerance ? percent(*tolerance) : "not stated";
}

std::string channels(const Model& model) {
  if (!model.snapshot) return "";
  const Snapshot& snapshot = *model.snapshot;
  // The same samples twice: comparing them proves nothing.
  if (snapshot.channels_identical == true) return "both carry the same signal: one source";
  if (snapshot.channels < 2) return "one only";
  const std::string shown = model.shown_channel == 1 ? "right is shown; " : "left is shown; ";
  if (!snapshot.channels_agree) return shown + "not compared yet";
  return shown + (*snapshot.channels_agree ? "both agree" : "they DIFFER");
}

std::string_view unit_name(Unit unit) noexcept {
  switch (unit) {
    case Unit::percent: return "percent";
    case Unit::cents: return "cents";
    case Unit::hertz: return "Hz";
  }
  return "";
}

std::string_view channel_name(ChannelChoice channel) noexcept {
  switch (channel) {
    case ChannelChoice::both: return "the better of both";
    case ChannelChoice::left: return "left";
    case ChannelChoice::right: return "right";
  }
  return "";
}

std::string peak_name(const SpectrumPeak& peak) {
  switch (peak.kind) {
    case SpectrumPeak::Kind::tone: return "tone";
    case SpectrumPeak::Kind::mains_harmonic: {
      if (!(peak.mains_hz > 0.0)) return "hum";
      return "hum " + hertz(peak.mains_hz) + " \u00d7 " + fixed(std::round(peak.frequency_hz / peak.mains_hz), 0);
    }
    case SpectrumPeak::Kind::competing: return "other tone";
    case SpectrumPeak::Kind::other: return "other";
  }
  return "";
}

// A tone well above the noise of ordinary inputs and well below their limit (common practice of recording levels).
std::string_view level_word(double level_dbfs) noexcept {
  if (level_dbfs > -1.0) return "too loud";
  if (level_dbfs >= -50.0) return "good";
  return level_dbfs >= -70.0 ? "quiet" : "too quiet";
}

// By what the noise does to half a second of tone: 2 sigma of the bound (Rife and Boorstyn 1974) at 3000 Hz is 0.0004 %
// at 45 dB-Hz and 0.0018 % at 32 dB-Hz; somewhat lower the phase begins to be lost.
std::string_view noise_word(double carrier_to_noise_dbhz) noexcept {
  if (carrier_to_noise_dbhz >= 45.0) return "good";
  return carrier_to_noise_dbhz >= 32.0 ? "fair" : "poor";
}

}  // namespace four76::words
