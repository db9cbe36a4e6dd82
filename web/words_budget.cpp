// The budget's and the clock's part of words.
#include <algorithm>
#include <cmath>

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
  BudgetLine line{"Clock", amount(budget.terms.clock_percent), ""};
  switch (budget.clock) {
    case Budget::Clock::unchecked:
      line.note =
          "Nobody has checked this device's clock: 100 ppm are taken, which is usual. Checking it makes this smaller.";
      break;
    case Budget::Clock::checked:
      line.note = "This device's clock runs " + clock_runs(budget.check->correction) + ", checked " +
                  budget.check->date + ". The reading is corrected; this is what remains.";
      break;
    case Budget::Clock::recorder:
      line.note =
          "The clock of whatever made the recording: 100 ppm are taken. A check of this device says nothing of it.";
      break;
    case Budget::Clock::cancelled:
      line.amount = "none";
      line.note = "Song and tape came through the same microphone, and so by the same clock.";
      break;
    case Budget::Clock::none:
      line.amount = "none";
      line.note = "The demo's tape is computed: no clock takes its samples.";
      break;
  }
  return line;
}

constexpr std::string_view kSongTape =
    "How far the tape itself is off is not known, and so it is not in the sum: it was copied or recorded on a machine "
    "with an error of its own. Several tapes vote on it.";

// Of a song: its measurement as one, then the clocks.
BudgetLine player_line(const Budget& budget) {
  if (!budget.player) return {"Song", "none", "The song is a file on this device: no clock of a player is in it."};
  return {"Song", amount(budget.terms.reference_percent),
          "The clock of whatever played the song when it was recorded: 100 ppm are taken."};
}

BudgetLine tape_line(const Budget& budget, const Settings& settings) {
  if (!budget.tape) return {"Tape", "none", "The demo's tape carries its tone exactly."};
  if (budget.terms.tape_percent) {
    return {"Tape", amount(budget.terms.tape_percent),
            "The tape's tone is stated to be " + hertz(settings.nominal_hz) + " within " +
                percent(*settings.tape_tolerance_percent) + "."};
  }
  return {
      "Tape", "not known",
      "How true the tape's own tone is was not stated, and so it is not in the sum. Its label or certificate may say; "
      "enter it under Settings."};
}

bool left_out(const Budget& budget) { return budget.tape && !budget.terms.tape_percent; }

std::vector<BudgetLine> song_terms(const Budget& budget) {
  return {{"Measurement", amount(budget.reading->u95_percent),
           "Noise, wow, and how well tape and song fit, all of it together."},
          clock_line(budget),
          player_line(budget),
          {"Tape", "not known", std::string(kSongTape)}};
}

std::string name_of_input(const CheckedClock& clock) {
  return (clock.input.empty() ? "An input without a name" : clock.input) + " at " + kilohertz(clock.sample_rate_hz);
}

std::string seconds_heard(const ClockCheck& check) {
  return fixed(std::min(check.heard_s, kShortestClockCheck_s), 0) + " of " + fixed(kShortestClockCheck_s, 0) +
         " s heard";
}

std::string listening_said(const Model& model, const ClockCheck& check) {
  if (model.phase == Phase::asking) return "Waiting for the browser's permission to use the microphone.";
  if (const auto stopped = advice(model.interrupted)) return stopped->what + " " + stopped->todo;
  if (check.heard_s <= 0.0 || !check.so_far) {
    return "No tone of " + hertz(check.known_hz) + " yet. Play it now, near the microphone or by cable.";
  }
  const double u95 = check.so_far->u95_ppm;
  if (std::fabs(check.so_far->fast_ppm) > kFarthestClock_ppm) {
    return seconds_heard(check) + "; so far it reads " + fixed(check.so_far->fast_ppm * -1e-4, 2) +
           " % off, too far for a clock.";
  }
  return seconds_heard(check) + "; so far " +
         (u95 < 1000.0 ? clock_runs(*check.so_far) : "no better than " + rounded_up(u95 / 1000.0, 0) + "000 ppm") + ".";
}

std::string refused_said(const Model& model, const ClockCheck& check) {
  const Advice found = model.failure ? advice(*model.failure)
                       : check.fault ? advice(*check.fault, model)
                                     : Advice{"The check did not come to its end.", "Try again."};
  return "Nothing was changed. " + found.what + (found.todo.empty() ? "" : " " + found.todo);
}

}  // namespace

std::string amount(std::optional<double> percent) {
  if (!percent) return "not known";
  const int decimals = *percent >= 1.0 ? 2 : *percent >= 0.1 ? 3 : 4;
  return plus_minus(*percent, decimals) + " %";
}

std::vector<BudgetLine> budget_terms(const Model& model) {
  const auto all = budget(model);
  if (!all) return {};
  if (in_song(model)) return song_terms(*all);
  return {{"Noise", amount(all->terms.noise_percent), "Noise and whatever else sounds beside the tone."},
          {"Wow", amount(all->terms.wow_percent),
           "The speed wavers, and this stretch may not be the average of it: longer is better."},
          clock_line(*all),
          tape_line(*all, model.settings)};
}

BudgetLine budget_sum(const Model& model) {
  const auto all = budget(model);
  if (!all) return {"In all", "", "There is no number to be trusted at the moment, and so nothing to add up."};
  return {left_out(*all) ? "In all, without the tape" : "In all", amount(all->terms.sum_percent),
          "The root of the sum of their squares, as independent errors add. It holds in 95 of 100 cases."};
}

std::string budget_of(const Model& model) {
  const auto all = budget(model);
  if (!all) return "";
  const std::string seconds = fixed(all->reading->trusted_s, all->reading->trusted_s < 1.0 ? 1 : 0) + " s";
  return "Of the mean of " + seconds + ", " + speed_error(*all->reading) + ":";
}

std::string in_all(const Model& model) {
  const auto all = budget(model);
  if (!all || !all->terms.sum_percent) return "no number to be trusted";
  const std::string sum = amount(all->terms.sum_percent);
  if (all->clock == Budget::Clock::none) return sum + ", no clock, no tape";
  return sum + (left_out(*all) ? ", tape not known" : ", tape and clock too");
}

std::string clock_runs(const ClockCorrection& correction) {
  const int decimals = ppm_decimals(correction.u95_ppm);
  const std::string spread = " \u00b1 " + rounded_up(correction.u95_ppm, decimals) + " ppm ";
  return ppm(std::fabs(correction.fast_ppm), decimals) + spread + (correction.fast_ppm < 0.0 ? "slow" : "fast");
}

std::string kept_clock(const CheckedClock& clock) {
  return name_of_input(clock) + ": runs " + clock_runs(clock.correction) + ", checked " + clock.date + ".";
}

std::string clock_said(const Model& model) {
  if (!model.clock_check) return "";
  const ClockCheck& check = *model.clock_check;
  using Stage = ClockCheck::Stage;
  switch (check.stage) {
    case Stage::listening: return listening_said(model, check);
    case Stage::found: return "This device's clock runs " + clock_runs(*check.so_far) + ".";
    case Stage::kept:
      return "This device's clock runs " + clock_runs(*check.so_far) + ". Kept: from now on readings are corrected." +
             (model.storage_refused ? " This browser keeps nothing for this page (a private window?), so that it holds "
                                      "until the page is closed."
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
        return {"The tone could not be measured.", "Play it louder or nearer, then check again."};
      const Advice why = advice(*check.reasons.begin(), model);
      if (*check.reasons.begin() == Reason::no_tone)
        return {"No tone of " + hertz(check.known_hz) + " was heard.",
                "Play it near the microphone, then check again."};
      return {"The tone could not be measured. " + why.what, why.todo};
    }
    case ClockFault::too_short:
      return {"Less than " + fixed(kShortestClockCheck_s, 0) + " s of the tone were heard.",
              "Let it play without a break until the check has ended."};
    case ClockFault::no_clock:
      return {"The tone is further off than any clock.",
              "Another frequency was played than was entered. Look at the source, then check again."};
    case ClockFault::too_uncertain:
      return {"The result would be no better than the 100 ppm that are taken anyway.",
              "Take a truer source, or let this device hear it better: nearer, louder or by cable."};
  }
  return {"The clock could not be checked.", "Try again."};
}

}  // namespace four76::words
