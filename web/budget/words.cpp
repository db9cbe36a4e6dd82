#include "web/budget/words.hpp"

#include <algorithm>
#include <cmath>

#include "core/phrase.hpp"
#include "web/budget/budget.hpp"
#include "web/clock/words.hpp"
#include "web/words/numbers.hpp"

namespace four76::words {
namespace {

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
  if (!all) return {say("Total"), "", say("There is no number to be trusted at the moment, and so nothing to add up.")};
  return {left_out(*all) ? say("Total, without the tape's error") : say("Total"), amount(all->terms.sum_percent),
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
  if (!all || !all->terms.sum_percent) return say("no reliable reading yet");
  const double total = *all->terms.sum_percent;
  const std::string sum = plus_minus(total, supported_decimals(total, 3)) + " %";  // as under the figure
  if (all->clock == Budget::Clock::none) return say("{0}, no clock, no tape", sum);
  return say(left_out(*all) ? Phrase("{0}, tape not known") : Phrase("{0}, tape and clock too"), sum);
}

}  // namespace four76::words
