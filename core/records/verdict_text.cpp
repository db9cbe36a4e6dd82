#include "core/records/verdict_text.hpp"

#include <cmath>

#include "core/records/cause_text.hpp"
#include "core/records/figure_text.hpp"

namespace four76 {
namespace {

std::string percent(double value) { return rounded(std::abs(value), 2) + " %"; }
std::string percent(const std::optional<double>& value) { return percent(value.value_or(0.0)); }
std::string limit(double value) {
  std::string text = rounded(value, 2);
  if (text.find('.') != std::string::npos) text.erase(text.find_last_not_of('0') + 1);
  if (text.ends_with('.')) text.pop_back();
  return text + " %";
}

std::string moved(const Verdict& verdict) {
  const SpeedMove move = verdict.move.value_or(SpeedMove{});
  return std::string("the speed ") + (move.change_percent < 0.0 ? "sank" : "rose") + " by " +
         percent(move.change_percent) + " in " + duration_text(move.over_s);
}

std::string clean(const Verdict& verdict) {
  std::string why;
  if (verdict.dropouts_per_minute) {
    why = "the tone falls away " + rounded(*verdict.dropouts_per_minute, 2) + " times a minute";
    if (verdict.deepest_dropout_db) why += ", by up to " + rounded(std::abs(*verdict.deepest_dropout_db), 2) + " dB";
  }
  if (verdict.level_rms_percent) {
    if (!why.empty()) why += " and ";
    why += (why.empty() ? "the level sways by " : "its level sways by ") + percent(verdict.level_rms_percent);
  }
  return "Clean head and tape path before you measure: " + why + '.';
}

std::string first_words(const std::optional<CauseKind>& first) {
  if (!first) return "clean, then look at roller and belt";
  switch (*first) {
    case CauseKind::capstan: return "clean, then look at the capstan";
    case CauseKind::pinch_roller: return "clean, then look at the pinch roller";
    case CauseKind::supply_reel:
    case CauseKind::take_up_reel: return "clean, then look at the reels and their clutch";
    case CauseKind::belt: return "clean, then look at the belt";
    case CauseKind::motor: return "clean, then look at the motor";
    case CauseKind::idler: return "clean, then look at the idler";
    case CauseKind::scrape: return "clean the tape path";
    default: return "clean, then look at roller and belt";
  }
}

std::string beyond(const Verdict& verdict) {
  const std::string_view kind = verdict.weighted ? "weighted" : "unweighted";
  const auto& figure = verdict.weighted ? verdict.weighted : verdict.unweighted;
  const double usual = verdict.usual_percent.value_or(0.0);
  return "Do not trim yet: wow and flutter of " + percent(figure ? figure->percent : std::nullopt) + ' ' +
         std::string(kind) + " is more than the usual " + limit(usual) + ": " + first_words(verdict.first) + '.';
}

std::string speed(const Verdict& verdict) {
  const double error = verdict.speed_error_percent.value_or(0.0);
  const double u95 = verdict.speed_u95_percent.value_or(0.0);
  if (std::abs(error) <= u95) return "right to " + percent(u95);
  return percent(error) + (error > 0.0 ? " fast" : error < 0.0 ? " slow" : "");
}

std::string standard_met(const Verdict& verdict) {
  return verdict.meets ? ", wow and flutter within " + std::string(words_of(*verdict.meets)) : "";
}

}  // namespace

std::string verdict_text(const Verdict& verdict) {
  switch (verdict.rule) {
    case Rule::clean_before_measuring: return clean(verdict);
    case Rule::speed_sags: return "Do not trim yet: " + moved(verdict) + ": belt, motor or batteries first.";
    case Rule::warming_up: return "Do not trim yet: " + moved(verdict) + ": let it warm up.";
    case Rule::wow_hides_the_mean:
      return "Do not trim yet: wow leaves the mean speed open by " + percent(verdict.wow_u95_percent) +
             ": mend the wow, or measure for longer.";
    case Rule::wow_beyond_usual: return beyond(verdict);
    case Rule::may_trim:
      return "The trimmer may be turned: " + speed(verdict) + " and steady" + standard_met(verdict) + '.';
    case Rule::nothing_to_do:
      return "Nothing to be done: " + speed(verdict) + ", within " + limit(verdict.tolerance_percent.value_or(0.0)) +
             " and steady" + standard_met(verdict) + '.';
  }
  return "";
}

std::string verdict_rule_text(const Verdict& verdict) {
  const std::string tolerance = limit(verdict.tolerance_percent.value_or(0.0));
  const SpeedMove move = verdict.move.value_or(SpeedMove{});
  switch (verdict.rule) {
    case Rule::clean_before_measuring:
      return "Up to " + rounded(kUsualDropouts_per_minute, 1) + " dropouts a minute and " + limit(kUsualLevel_percent) +
             " of sway in the level are let pass.";
    case Rule::speed_sags:
    case Rule::warming_up:
      return "Moved by " + percent(move.change_percent) + " \u00b1 " + percent(move.u95_percent) + " in " +
             duration_text(move.over_s) + "; the tolerance is " + tolerance + '.';
    case Rule::wow_hides_the_mean:
      return "The wow's share of the uncertainty is over half the tolerance of " + tolerance + '.';
    case Rule::wow_beyond_usual:
      return "All of the figure's 95 % lies above " + limit(verdict.usual_percent.value_or(0.0)) + '.';
    case Rule::may_trim:
    case Rule::nothing_to_do:
      return "Speed known to \u00b1 " + percent(verdict.speed_u95_percent) + ", tolerance " + tolerance +
             "; moved by no more than " + percent(std::abs(move.change_percent) + move.u95_percent) + " in " +
             duration_text(move.over_s) + "; wow and flutter under " + limit(verdict.usual_percent.value_or(0.0)) +
             " weighted.";
  }
  return "";
}

std::string_view words_of(Standard standard) noexcept {
  switch (standard) {
    case Standard::archive_replay: return "what archives ask for (IASA TC-04)";
    case Standard::csn_36_8430: return "CSN 36 8430";
    case Standard::hifi_minimum: return "the hi-fi minimum (DIN 45500)";
    case Standard::portable_usual: return "what is usual for a pocket portable";
  }
  return "";
}

std::string judgement_text(Standard standard, Judgement judgement) {
  const std::string limits =
      std::string(words_of(standard)) + ": " + limit(limits_of(standard).weighted_percent) + " weighted";
  switch (judgement) {
    case Judgement::meets: return "meets " + limits;
    case Judgement::misses: return "misses " + limits;
    case Judgement::cannot_be_told: return "cannot be told against " + limits;
  }
  return limits;
}

}  // namespace four76
