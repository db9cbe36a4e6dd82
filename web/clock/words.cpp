#include "web/clock/words.hpp"

#include <algorithm>
#include <cmath>

#include "core/phrase.hpp"
#include "web/words/advice.hpp"
#include "web/words/numbers.hpp"

namespace four76::words {
namespace {

std::string ppm(double value, int decimals) { return fixed(value, decimals); }

// A tenth of a ppm is worth showing only where the uncertainty is not much more.
int ppm_decimals(double u95_ppm) { return supported_decimals(u95_ppm / 3.0, 1); }

std::string rounded_up(double value, int decimals) {
  return plus_minus(value, decimals).substr(2);
}  // without its sign

std::string name_of_input(const CheckedClock& clock) {
  const std::string rate = kilohertz(clock.sample_rate_hz);
  return clock.input.empty() ? say("An input without a name at {0}", rate) : say("{0} at {1}", clock.input, rate);
}

std::string listening_said(const Model& model, const ClockCheck& check) {
  if (model.phase == Phase::asking) return say("Waiting for the browser's permission to use the microphone.");
  if (const auto stopped = advice(model.interrupted)) return stopped->what + ' ' + stopped->todo;
  if (check.heard_s <= 0.0 || !check.so_far) {
    return say("No tone of {0} yet. Play it now, near the microphone or by cable.", hertz(check.known_hz));
  }
  const std::string heard = fixed(std::min(check.heard_s, kShortestClockCheck_s), 0);
  const std::string wanted = fixed(kShortestClockCheck_s, 0);
  const double u95 = check.so_far->u95_ppm;
  if (std::fabs(check.so_far->fast_ppm) > kFarthestClock_ppm) {
    return say("{0} of {1} s heard; so far it reads {2} off, too far for a clock.", heard, wanted,
               fixed(check.so_far->fast_ppm * -1e-4, 2) + " %");
  }
  if (u95 < 1000.0) return say("{0} of {1} s heard; so far {2}.", heard, wanted, clock_runs(*check.so_far));
  return say("{0} of {1} s heard; so far no better than {2}.", heard, wanted, rounded_up(u95 / 1000.0, 0) + "000 ppm");
}

std::string refused_said(const Model& model, const ClockCheck& check) {
  const Advice found = model.failure ? advice(*model.failure, model.platform)
                       : check.fault ? advice(*check.fault, model)
                                     : Advice{say("The check did not come to its end."), say("Try again.")};
  return say("Nothing was changed.") + ' ' + found.what + (found.todo.empty() ? "" : ' ' + found.todo);
}

}  // namespace

std::string clock_runs(const ClockCorrection& correction) {
  const int decimals = ppm_decimals(correction.u95_ppm);
  const std::string amount =
      ppm(std::fabs(correction.fast_ppm), decimals) + " \u00b1 " + rounded_up(correction.u95_ppm, decimals) + " ppm";
  return say(correction.fast_ppm < 0.0 ? Phrase("{0} slow##clock") : Phrase("{0} fast##clock"), amount);
}

std::string kept_clock(const CheckedClock& clock) {
  return say("{0}: runs {1}, checked {2}.", name_of_input(clock), clock_runs(clock.correction), clock.date);
}

std::string clock_said(const Model& model) {
  if (!model.clock.check) return "";
  const ClockCheck& check = *model.clock.check;
  using Stage = ClockCheck::Stage;
  switch (check.stage) {
    case Stage::listening: return listening_said(model, check);
    case Stage::found: return say("This device's clock runs {0}.", clock_runs(*check.so_far));
    case Stage::kept:
      return say("This device's clock runs {0}.", clock_runs(*check.so_far)) + ' ' +
             say("Kept: from now on readings are corrected.") +
             (model.storage_refused ? ' ' + say("This browser keeps nothing for this page (a private window?), so that "
                                                "it holds until the page is closed.")
                                    : "");
    case Stage::refused: return refused_said(model, check);
  }
  return "";
}

Advice advice(ClockFault fault, const Model& model) {
  const ClockCheck check = model.clock.check.value_or(ClockCheck{});
  switch (fault) {
    case ClockFault::not_measured: {
      if (check.reasons.empty())
        return {say("The tone could not be measured."), say("Play it louder or nearer, then check again.")};
      const Advice why = advice(*check.reasons.begin(), model);
      if (*check.reasons.begin() == Reason::no_tone)
        return {say("No tone of {0} was heard.", hertz(check.known_hz)),
                say("Play it near the microphone, then check again.")};
      return {say("The tone could not be measured.") + ' ' + why.what, why.todo};
    }
    case ClockFault::too_short:
      return {say("Less than {0} s of the tone were heard.", fixed(kShortestClockCheck_s, 0)),
              say("Let it play without a break until the check has ended.")};
    case ClockFault::no_clock:
      return {say("The tone is further off than any clock."),
              say("Another frequency was played than was entered. Look at the source, then check again.")};
    case ClockFault::too_uncertain:
      return {say("The result would be no better than the 100 ppm that are assumed anyway."),
              say("Take a truer source, or let this device hear it better: nearer, louder or by cable.")};
  }
  return {say("The clock could not be checked."), say("Try again.")};
}

}  // namespace four76::words
