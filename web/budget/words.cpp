// The budget's and the clock's part of words.
#include <algorithm>
#include <cmath>

#include "core/phrase.hpp"
#include "web/words.hpp"

namespace four76::words {
namespace {

std::string ppm(double value, int decimals) { return fixed(value, decimals); }

// A tenth of a ppm is worth showing only where the uncertainty is not much more.
int ppm_decimals(double u95_ppm) { return supported_decimals(u95_ppm / 3.0, 1); }

std::string rounded_up(double value, int decimals) {
  return plus_minus(value, decimals).substr(2);
}  // without its sign

BudgetLine clock_line(const Budget& budget) {
  BudgetLine line{say("Clock##budget"), amount(budget.terms.clock_percent), ""};
  switch (budget.clock) {
    case Budget::Clock::unchecked:
      line.note =
          say("Nobody has checked this device's clock: 100 ppm are assumed, which is usual. Checking it makes this "
              "smaller.");
      break;
    case Budget::Clock::checked:
      line.note = say("This device's clock runs {0}, checked {1}. The reading is corrected; this is what remains.",
                      clock_runs(budget.check->correction), budget.check->date);
      break;
    case Budget::Clock::recorder:
      line.note =
          say("The clock of whatever made the recording: 100 ppm are assumed. A check of this device says nothing "
              "about it.");
      break;
    case Budget::Clock::cancelled:
      line.amount = say("none##term");
      line.note = say("Song and tape came through the same microphone, and so by the same clock.");
      break;
    case Budget::Clock::none:
      line.amount = say("none##term");
      line.note = say("The demo's tape is computed: no clock takes its samples.");
      break;
  }
  return line;
}

constexpr auto kSongTape = Phrase(
    "The tape's own error is not known, so it is not in the sum: the tape was copied or recorded on a machine with an "
    "error of its own. Several tapes vote on it.");

// Of a song: its measurement as one, then the clocks.
BudgetLine player_line(const Budget& budget) {
  if (!budget.player) {
    return {say("Song##budget"), say("none##term"),
            say("The song is a file on this device: no clock of a player is in it.")};
  }
  return {say("Song##budget"), amount(budget.terms.reference_percent),
          say("The clock of whatever played the song when it was recorded: 100 ppm are assumed.")};
}

BudgetLine tape_line(const Budget& budget, const Settings& settings) {
  if (!budget.tape) return {say("Tape##budget"), say("none##term"), say("The demo's tape carries its tone exactly.")};
  if (budget.terms.tape_percent) {
    return {say("Tape##budget"), amount(budget.terms.tape_percent),
            say("The tape's tone is stated to be {0} within {1}.", hertz(settings.nominal_hz),
                percent(*settings.tape_tolerance_percent))};
  }
  return {say("Tape##budget"), say("not known"),
          say("The error of the tape's tone was not stated, so it is not in the sum. Its label or certificate may "
              "state it; enter it under Settings.")};
}

bool left_out(const Budget& budget) { return budget.tape && !budget.terms.tape_percent; }

std::vector<BudgetLine> song_terms(const Budget& budget) {
  return {{say("Measurement##budget"), amount(budget.reading->u95_percent),
           say("Noise, wow, and how well tape and song fit, all of it together.")},
          clock_line(budget),
          player_line(budget),
          {say("Tape##budget"), say("not known"), say(kSongTape)}};
}

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

std::string amount(std::optional<double> percent) {
  if (!percent) return say("not known");
  const int decimals = *percent >= 1.0 ? 2 : *percent >= 0.1 ? 3 : 4;
  return plus_minus(*percent, decimals) + " %";
}

std::vector<BudgetLine> budget_terms(const Model& model) {
  const auto all = budget(model);
  if (!all) return {};
  if (in_song(model)) return song_terms(*all);
  return {
      {say("Noise##budget"), amount(all->terms.noise_percent), say("Noise and whatever else sounds beside the tone.")},
      {say("Wow##budget"), amount(all->terms.wow_percent),
       say("The speed wavers, and this stretch may not be the average of it: longer is better.")},
      clock_line(*all),
      tape_line(*all, model.settings)};
}

BudgetLine budget_sum(const Model& model) {
  const auto all = budget(model);
  if (!all)
    return {say("In all"), "", say("There is no number to be trusted at the moment, and so nothing to add up.")};
  return {left_out(*all) ? say("In all, without the tape") : say("In all"), amount(all->terms.sum_percent),
          say("The root of the sum of their squares, as independent errors add. It holds in 95 of 100 cases.")};
}

std::string budget_of(const Model& model) {
  const auto all = budget(model);
  if (!all) return "";
  const std::string seconds = fixed(all->reading->trusted_s, all->reading->trusted_s < 1.0 ? 1 : 0) + " s";
  return say("Of the mean of {0}, {1}:", seconds, speed_error(*all->reading));
}

std::string in_all(const Model& model) {
  const auto all = budget(model);
  if (!all || !all->terms.sum_percent) return say("no number to be trusted");
  const double total = *all->terms.sum_percent;
  const std::string sum = plus_minus(total, supported_decimals(total, 3)) + " %";  // as under the figure
  if (all->clock == Budget::Clock::none) return say("{0}, no clock, no tape", sum);
  return say(left_out(*all) ? Phrase("{0}, tape not known") : Phrase("{0}, tape and clock too"), sum);
}

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
  if (!model.clock_check) return "";
  const ClockCheck& check = *model.clock_check;
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
  const ClockCheck check = model.clock_check.value_or(ClockCheck{});
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
