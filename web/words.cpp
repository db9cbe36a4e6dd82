// The hint and the messages; the rest is in words_*.cpp.
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

}  // namespace

// All that may be off counts: what the tape and the clock add as well.
Hint speed_verdict(const Model& model, const Reading& reading) {
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

namespace {

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
    case Trust::good: return coach_hint(model).value_or(speed_verdict(model, *judged_reading(model)));
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
  if (in_song(model) && model.phase != Phase::asking && model.phase != Phase::failed) return song_hint(model);
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
    const Advice found = advice(*model.failure);
    all.push_back({Weight::fault, found.todo.empty() ? found.what : found.todo, std::string(again(model))});
  }
  if (const auto stopped = advice(model.interrupted)) all.push_back({Weight::warning, joined(*stopped), "act-stop"});
  if (model.drawing_lost)
    all.push_back(
        {Weight::warning, "The drawing was lost, and measuring goes on. If it stays so, load the page again.", ""});
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
  if (model.song.tapes_set_aside) {
    all.push_back({Weight::warning,
                   "What was kept here of tapes' results is damaged and was set aside. Keep them again.",
                   "act-forget-tapes"});
  }
  if (model.clocks_set_aside) {
    all.push_back({Weight::warning,
                   "What was kept here of clock checks is damaged and was set aside: nothing is corrected. Check this "
                   "device's clock again.",
                   "act-forget-clocks"});
  }
  if (model.friends.done) all.push_back({Weight::fact, friend_found(*model.friends.done), "act-friend"});
  if (model.friends.asked && !model.friends.answering && !measures(model))
    all.push_back(
        {Weight::fact, friend_asks(*model.friends.asked), model.friends.answered ? "act-friend" : "act-answer"});
  if (!model.visit_said.empty()) all.push_back({Weight::fact, model.visit_said, "act-cards"});
  if (const std::string_view said = cards_said(model.cards); !said.empty())
    all.push_back({Weight::warning, std::string(said), "act-cards"});
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
  if (in_song(model) && model.phase != Phase::asking && model.phase != Phase::failed) return song_status_line(model);
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
  if (in_song(model)) return song_against(model);
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

}  // namespace four76::words
