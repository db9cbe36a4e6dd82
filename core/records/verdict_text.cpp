#include "core/records/verdict_text.hpp"

#include <cmath>

#include "core/phrase.hpp"
#include "core/records/cause_text.hpp"
#include "core/records/figure_text.hpp"

namespace four76 {
namespace {

std::string percent(double value) { return rounded(std::abs(value), 2) + " %"; }
std::string percent(const std::optional<double>& value) { return percent(value.value_or(0.0)); }
// As it was set: without the zeros behind the mark.
std::string limit(double value) {
  std::string text = rounded(value, 2);
  if (text.find(decimal_mark()) != std::string::npos) text.erase(text.find_last_not_of('0') + 1);
  if (text.ends_with(decimal_mark())) text.pop_back();
  return text + " %";
}
std::string spread(const std::optional<double>& u95) { return "\u00b1 " + percent(u95); }

std::string moved(const Verdict& verdict) {
  const SpeedMove move = verdict.move.value_or(SpeedMove{});
  return say(
      move.change_percent < 0.0 ? Phrase("the speed sank by {0} in {1}") : Phrase("the speed rose by {0} in {1}"),
      percent(move.change_percent), duration_text(move.over_s));
}

std::string falls_away(double dropouts_per_minute, const std::optional<double>& deepest_db) {
  const std::string times = rounded(dropouts_per_minute, 2);
  if (!deepest_db) return say("the tone falls away {0} times a minute", times);
  return say("the tone falls away {0} times a minute, by up to {1} dB", times, rounded(std::abs(*deepest_db), 2));
}

std::string clean(const Verdict& verdict) {
  std::string why;
  if (verdict.dropouts_per_minute) why = falls_away(*verdict.dropouts_per_minute, verdict.deepest_dropout_db);
  if (verdict.level_rms_percent) {
    const std::string sway = percent(verdict.level_rms_percent);
    why = why.empty() ? say("the level sways by {0}", sway) : say("{0} and its level sways by {1}", why, sway);
  }
  return say("Clean head and tape path before you measure: {0}.", why);
}

std::string_view first_words(const std::optional<CauseKind>& first) {
  if (!first) return tr("clean, then look at roller and belt");
  switch (*first) {
    case CauseKind::capstan: return tr("clean, then look at the capstan");
    case CauseKind::pinch_roller: return tr("clean, then look at the pinch roller");
    case CauseKind::supply_reel:
    case CauseKind::take_up_reel: return tr("clean, then look at the reels and their clutch");
    case CauseKind::belt: return tr("clean, then look at the belt");
    case CauseKind::motor: return tr("clean, then look at the motor");
    case CauseKind::idler: return tr("clean, then look at the idler");
    case CauseKind::scrape: return tr("clean the tape path");
    default: return tr("clean, then look at roller and belt");
  }
}

std::string beyond(const Verdict& verdict) {
  const auto& figure = verdict.weighted ? verdict.weighted : verdict.unweighted;
  return say(verdict.weighted
                 ? Phrase("Do not trim yet: wow and flutter of {0} weighted is more than the usual {1}: {2}.")
                 : Phrase("Do not trim yet: wow and flutter of {0} unweighted is more than the usual {1}: {2}."),
             percent(figure ? figure->percent : std::nullopt), limit(verdict.usual_percent.value_or(0.0)),
             first_words(verdict.first));
}

std::string speed(const Verdict& verdict) {
  const double error = verdict.speed_error_percent.value_or(0.0);
  const double u95 = verdict.speed_u95_percent.value_or(0.0);
  if (std::abs(error) <= u95) return say("right to {0}", percent(u95));
  if (error > 0.0) return say("{0} fast", percent(error));
  return error < 0.0 ? say("{0} slow", percent(error)) : percent(error);
}

std::string may_trim(const Verdict& verdict) {
  const std::string text = verdict.meets ? say("The trimmer may be turned: {0} and steady, wow and flutter within {1}.",
                                               speed(verdict), words_of(*verdict.meets))
                                         : say("The trimmer may be turned: {0} and steady.", speed(verdict));
  return verdict.first ? text + ' ' + say("Before that, {0}.", first_words(verdict.first)) : text;
}

std::string nothing_to_do(const Verdict& verdict) {
  const std::string tolerance = limit(verdict.tolerance_percent.value_or(0.0));
  if (!verdict.meets) return say("Nothing to be done: {0}, within {1} and steady.", speed(verdict), tolerance);
  return say("Nothing to be done: {0}, within {1} and steady, wow and flutter within {2}.", speed(verdict), tolerance,
             words_of(*verdict.meets));
}

}  // namespace

std::string verdict_text(const Verdict& verdict) {
  switch (verdict.rule) {
    case Rule::clean_before_measuring: return clean(verdict);
    case Rule::speed_sags: return say("Do not trim yet: {0}: belt, motor or batteries first.", moved(verdict));
    case Rule::warming_up: return say("Do not trim yet: {0}: let it warm up.", moved(verdict));
    case Rule::wow_hides_the_mean:
      return say("Do not trim yet: wow leaves the mean speed uncertain by {0}: mend the wow, or measure for longer.",
                 percent(verdict.wow_u95_percent));
    case Rule::wow_beyond_usual: return beyond(verdict);
    case Rule::may_trim: return may_trim(verdict);
    case Rule::nothing_to_do: return nothing_to_do(verdict);
  }
  return "";
}

std::string verdict_rule_text(const Verdict& verdict) {
  const std::string tolerance = limit(verdict.tolerance_percent.value_or(0.0));
  const std::string usual = limit(verdict.usual_percent.value_or(0.0));
  const SpeedMove move = verdict.move.value_or(SpeedMove{});
  switch (verdict.rule) {
    case Rule::clean_before_measuring:
      return say("Up to {0} dropouts a minute and {1} of sway in the level are let pass.",
                 rounded(kUsualDropouts_per_minute, 1), limit(kUsualLevel_percent));
    case Rule::speed_sags:
    case Rule::warming_up:
      return say("Moved by {0} in {1}; the tolerance is {2}.",
                 percent(move.change_percent) + ' ' + spread(move.u95_percent), duration_text(move.over_s), tolerance);
    case Rule::wow_hides_the_mean:
      return say("The wow's share of the uncertainty is over half the tolerance of {0}.", tolerance);
    case Rule::wow_beyond_usual: return say("The whole 95 % range lies above {0}.", usual);
    case Rule::may_trim:
    case Rule::nothing_to_do:
      return say(
          "Speed known to {0}, tolerance {1}; moved by no more than {2} in {3}; wow and flutter under {4} weighted.",
          spread(verdict.speed_u95_percent), tolerance, percent(std::abs(move.change_percent) + move.u95_percent),
          duration_text(move.over_s), usual);
  }
  return "";
}

std::string_view words_of(Standard standard) noexcept {
  switch (standard) {
    case Standard::archive_replay: return tr("what archives ask for (IASA TC-04)");
    case Standard::csn_36_8430: return "CSN 36 8430";
    case Standard::hifi_minimum: return tr("the hi-fi minimum (DIN 45500)");
    case Standard::portable_usual: return tr("what is usual for a pocket portable");
  }
  return "";
}

std::string judgement_text(Standard standard, Judgement judgement) {
  const std::string_view words = words_of(standard);
  const std::string most = limit(limits_of(standard).weighted_percent);
  switch (judgement) {
    case Judgement::meets: return say("meets {0}: {1} weighted", words, most);
    case Judgement::misses: return say("misses {0}: {1} weighted", words, most);
    case Judgement::cannot_be_told: return say("cannot be told against {0}: {1} weighted", words, most);
  }
  return "";
}

}  // namespace four76
