#include "web/words/hint.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/phrase.hpp"
#include "web/budget/budget.hpp"
#include "web/budget/words.hpp"
#include "web/clock/words.hpp"
#include "web/coach/words.hpp"
#include "web/friend/words.hpp"
#include "web/machine/words.hpp"
#include "web/song/words.hpp"
#include "web/words/advice.hpp"
#include "web/words/numbers.hpp"

namespace four76::words {
namespace {

// Beyond this a trimmer is not what the machine needs: adjustment ranges are some percent (common practice).
constexpr double kBeyondTrimmerPercent = 6.0;
// Trusted stretch after which the calm reading will not get much better.
constexpr double kCalmEnoughS = 9.0;

std::string joined(const Advice& advice) { return advice.todo.empty() ? advice.what : advice.what + " " + advice.todo; }

std::string how_to_turn(const Model& model, bool fast, double error) {
  if (is_file(model) || is_held(model)) return "";
  if (model.phase == Phase::demo) {
    return fast ? say("Turn the screw counter-clockwise, or tap \u2212.") : say("Turn the screw clockwise, or tap +.");
  }
  if (std::fabs(error) > kBeyondTrimmerPercent) {
    return say(
        "That is more than a trimmer makes up for: look at belt, pinch roller and dirt first, and at the tape's "
        "label.");
  }
  return say("Turn a little and watch the figure: if it grows, turn back.");
}

Hint off_speed(const Model& model, const Reading& reading) {
  const double error = *reading.speed_error_percent;
  const bool fast = error > 0.0;
  const int supported = supported_decimals(*reading.u95_percent, 2);
  const int decimals = &reading == shown_reading(model) ? std::min(supported, model.figure_decimals) : supported;
  const std::string amount = fixed(std::fabs(error), decimals) + " %";
  const Phrase text = !is_live(model) ? fast ? Phrase("Runs {0} fast") : Phrase("Runs {0} slow")
                      : fast ? Phrase("Runs {0} fast: slow it down")
                                      : Phrase("Runs {0} slow: speed it up");
  return {fast ? Way::slower : Way::faster, say(text, amount), how_to_turn(model, fast, error)};
}

// Whose uncertainty it is that reaches across the limit.
std::string why_at_the_edge(const Model& model, double size, double own) {
  const double tolerance = model.settings.tolerance_percent;
  if (size + own > tolerance && size - own <= tolerance)
    return say("The uncertainty reaches across the limit: this signal cannot tell which side.");
  return model.settings.tape_tolerance_percent
             ? say("The possible error of tape and clock reaches across the limit: a truer tape could tell which side.")
             : say("The clock's possible error reaches across the limit: checking the clock could tell which side.");
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
    return {Way::leave, say(is_live(model) ? Phrase("Within {0}: leave it") : Phrase("Within {0}"), limit),
            is_live(model) && reading.trusted_s < kCalmEnoughS
                ? say("Watch it for ten seconds before you put the screwdriver down.")
                : ""};
  }
  if (size - u95 > tolerance) return off_speed(model, reading);
  if (is_live(model) && reading.trusted_s < kCalmEnoughS) {
    return {Way::wait, say("Close to {0}: wait a moment", limit),
            say("Ten calm seconds tell which side of it the machine is on.")};
  }
  return {Way::wait, say("At the edge of {0}", limit), why_at_the_edge(model, size, own)};
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
  if (checks_clock(model)) return {Way::wait, say("Checking this device's clock"), clock_said(model)};
  switch (trust(model)) {
    case Trust::waiting:
      if (model.interrupted.any()) return distrust(model, reading);
      return {Way::wait, say("Listening\u2026"), say("The first reading comes in a second or two.")};
    case Trust::good:
      if (auto hands_off = measure_hint(model)) return *hands_off;
      if (auto turns = coach_hint(model)) return *turns;
      if (model.job.coach_shown)
        if (auto begins = coach_begins(model)) return *begins;
      return speed_verdict(model, *judged_reading(model));
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

std::string processing_state(std::string_view what, browser::Processing processing) {
  switch (processing) {
    case browser::Processing::off: return say("{0} off", what);
    case browser::Processing::on: return say("{0} ON", what);
    case browser::Processing::unknown: break;
  }
  return say("{0} unknown", what);
}

std::string channel_in_use(const Model& model) {
  if (!model.snapshot || model.snapshot->channels < 2) return say("one channel");
  return model.shown_channel == 1 ? say("right channel") : say("left channel");
}

}  // namespace

Hint hint(const Model& model) {
  if (in_song(model) && model.phase != Phase::asking && model.phase != Phase::failed) return song_hint(model);
  switch (model.phase) {
    case Phase::idle:
      return {Way::none, say("Play a speed tape and tap Listen"),
              say("Lean the phone on the machine's speaker, or use a cable.")};
    case Phase::asking:
      return {Way::wait, say("May this page use the microphone?"),
              say("Answer the browser's question. Nothing that it hears leaves this device.")};
    case Phase::measuring_file:
      return {Way::wait, say("Measuring {0}##progress", fixed(100.0 * model.file.fraction, 0) + " %"), model.file.name};
    case Phase::failed: {
      const Advice found = model.failure ? advice(*model.failure, model.platform) : Advice{};
      return {Way::distrust, found.what, ""};  // what to do is a message, with the button that does it
    }
    case Phase::listening:
    case Phase::demo:
    case Phase::held:
    case Phase::file_shown: return running_hint(model);
  }
  return {};
}

std::vector<Message> messages(const Model& model) {
  using Weight = Message::Weight;
  std::vector<Message> all;
  if (model.phase == Phase::failed && model.failure) {
    const Advice found = advice(*model.failure, model.platform);
    all.push_back({Weight::fault, found.todo.empty() ? found.what : found.todo, std::string(again(model))});
  }
  if (const auto stopped = advice(model.interrupted)) all.push_back({Weight::warning, joined(*stopped), "act-stop"});
  if (model.drawing_lost)
    all.push_back({Weight::warning,
                   say("The drawing was lost, and measuring goes on. If it stays so, load the page again."), ""});
  if (is_file(model) && model.snapshot && model.snapshot->cut_short) {
    all.push_back({Weight::warning,
                   say("The file ends after {0}, though it should be longer: only that was measured. Copy it again if "
                       "sound is missing.",
                       fixed(model.snapshot->time_s, 1) + " s"),
                   ""});
  }
  if (is_file(model) && model.snapshot && model.snapshot->channels_identical == true) {
    all.push_back({Weight::fact,
                   say("Both channels carry the same signal: a mono source. That they agree says nothing about the "
                       "machine's second channel."),
                   ""});
  }
  if (shown_channel(model) && model.snapshot->channels_agree == false) {
    all.push_back({Weight::warning, joined(advice(Reason::channels_differ, model)), ""});
  }
  if (model.capture && any_processing_on(*model.capture)) {
    all.push_back({Weight::warning,
                   say("This browser or device keeps changing the sound, which can spoil a reading.") + ' ' +
                       processing(*model.capture) + ' ' + say("Choose another microphone or browser, or use a cable."),
                   ""});
  }
  if (model.song.tapes_set_aside) {
    all.push_back({Weight::warning,
                   say("What was kept here of tapes' results is damaged and was set aside. Keep them again."),
                   "act-forget-tapes"});
  }
  if (model.clock.set_aside) {
    all.push_back({Weight::warning,
                   say("What was kept here of clock checks is damaged and was set aside: nothing is corrected. Check "
                       "this device's clock again."),
                   "act-forget-clocks"});
  }
  if (model.friends.done) all.push_back({Weight::fact, friend_found(*model.friends.done), "act-friend"});
  if (model.friends.asked && !model.friends.answering && !measures(model))
    all.push_back(
        {Weight::fact, friend_asks(*model.friends.asked), model.friends.answered ? "act-friend" : "act-answer"});
  if (!model.machine.visit_said.empty()) all.push_back({Weight::fact, model.machine.visit_said, "act-cards"});
  if (const std::string_view said = cards_said(model.machine.cards); !said.empty())
    all.push_back({Weight::warning, std::string(said), "act-cards"});
  if (!model.link_fault.empty())
    all.push_back({Weight::warning, model.link_fault + ' ' + say("Nothing was changed."), ""});
  if (!model.link_note.empty()) all.push_back({Weight::fact, say("The link says: {0}", model.link_note), ""});
  if (model.update_ready) {
    all.push_back({Weight::fact, say("A newer version is ready. It is taken when you say so, not while measuring."),
                   "act-update"});
  }
  return all;
}

std::string spoken(const Model& model) {
  const Hint now = hint(model);
  const Reading* reading = shown_reading(model);
  if (model.phase == Phase::failed && model.failure) return joined(advice(*model.failure, model.platform));
  if (checks_clock(model)) return joined({now.text + ".", now.detail});
  if (!reading || trust(model) != Trust::good)
    return joined({now.text + (now.text.ends_with('.') ? "" : "."), now.detail});
  const double u95 = *in_all(model, *reading).u95_percent;
  const int decimals = supported_decimals(u95, is_file(model) ? 3 : 2);
  const double error = *reading->speed_error_percent;
  const std::string amount = fixed(std::fabs(error), decimals);
  const std::string spread = plus_minus(u95, decimals).substr(2);  // without the two bytes of the sign
  return say(error < 0.0 ? Phrase("Runs {0} percent slow, plus or minus {1} percent.")
                         : Phrase("Runs {0} percent fast, plus or minus {1} percent."),
             amount, spread) +
         ' ' + now.text + '.';
}

std::string capture_note(const Model& model) {
  const std::string rate = model.capture ? ", " + kilohertz(model.capture->sample_rate_hz) : "";
  return model.screen_may_go_dark ? "; " + say("the screen may go dark") + rate : rate;
}

std::string status_line(const Model& model) {
  if (in_song(model) && model.phase != Phase::asking && model.phase != Phase::failed) return song_status_line(model);
  switch (model.phase) {
    case Phase::idle: return say("Nothing is being measured");
    case Phase::asking: return say("Waiting for the browser's permission");
    case Phase::listening: {
      if (checks_clock(model)) return say("Checking the clock against {0}", hertz(nominal_hz(model)));
      return say("Listening") + capture_note(model) + ", " + channel_in_use(model);
    }
    case Phase::demo: return say("Demo: simulated tape");
    case Phase::held: return is_demo(model) ? say("Demo: stopped") : say("Stopped: what was heard last");
    case Phase::measuring_file: return say("Measuring {0}##name", model.file.name);
    case Phase::file_shown: return say("{0}, all of it, {1}", model.file.name, channel_in_use(model));
    case Phase::failed: return say("Not measuring");
  }
  return "";
}

std::string against(const Model& model) {
  if (checks_clock(model)) return say("against {0}", hertz(nominal_hz(model)));
  if (in_song(model)) return song_against(model);
  const Settings& settings = model.settings;
  return say("{0} tape, within {1}", hertz(settings.nominal_hz), percent(settings.tolerance_percent));
}

std::string_view heard(const Model& model) noexcept {
  if (is_file(model)) return tr("What the recording holds");
  return is_demo(model) ? tr("What the simulated tape sounds like") : tr("What the microphone hears");
}

std::string processing(const browser::CaptureStarted& capture) {
  std::string states = processing_state(tr("echo cancellation"), capture.echo_cancellation) + ", " +
                       processing_state(tr("noise suppression"), capture.noise_suppression) + ", " +
                       processing_state(tr("gain control"), capture.gain_control);
  if (capture.voice_isolation != browser::Processing::unknown)
    states += ", " + processing_state(tr("voice isolation"), capture.voice_isolation);
  return say("The browser says: {0}.", states);
}

}  // namespace four76::words
