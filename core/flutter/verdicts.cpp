#include "core/flutter/verdicts.hpp"

#include <cmath>

namespace four76 {
namespace {

// The rules that stand against trimming rest on little; these want the half minute of the trade (common practice:
// service manuals).
constexpr double kLeastTrusted_s = 20.0;

Verdict by(Rule rule) noexcept {
  Verdict verdict;
  verdict.rule = rule;
  return verdict;
}

std::optional<Verdict> clean(const FlutterEvidence& evidence) noexcept {
  const bool level = has_level_flutter(evidence), drops = has_dropouts(evidence);
  if (!level && !drops) return std::nullopt;
  Verdict verdict = by(Rule::clean_before_measuring);
  if (level) verdict.level_rms_percent = evidence.level_rms_percent;
  if (drops) {
    verdict.dropouts_per_minute = evidence.dropouts_per_minute;
    verdict.deepest_dropout_db = evidence.deepest_dropout_db;
  }
  return verdict;
}

std::optional<Verdict> moves(const FlutterEvidence& evidence) noexcept {
  const std::optional<SpeedMove> move = speed_move(evidence);
  if (!move || !is_large(*move, tolerance_of(evidence))) return std::nullopt;
  Verdict verdict = by(move->change_percent < 0.0 ? Rule::speed_sags : Rule::warming_up);
  verdict.move = move;
  verdict.tolerance_percent = tolerance_of(evidence);
  return verdict;
}

std::optional<Verdict> hides(const FlutterEvidence& evidence) noexcept {
  const std::optional<double>& wow_u95 = evidence.reading.wow_u95_percent;
  const bool enough =
      is_trustworthy(evidence) && !evidence.since_jump_s && evidence.reading.trusted_s >= FlutterFigures::kLeastS;
  if (!enough || !wow_u95 || !std::isfinite(*wow_u95) || !(*wow_u95 > 0.5 * tolerance_of(evidence)))
    return std::nullopt;
  Verdict verdict = by(Rule::wow_hides_the_mean);
  verdict.wow_u95_percent = wow_u95;
  verdict.tolerance_percent = tolerance_of(evidence);
  return verdict;
}

// Wow and flutter or scrape: what is felt of the tape's running, and no more.
bool is_of_the_speed(CauseKind kind) noexcept { return kind < CauseKind::level_flutter; }

// The first that is named with some certainty.
template <typename Asks>
std::optional<CauseKind> first_named(const Causes& causes, Asks&& asks) noexcept {
  for (const Cause& cause : causes.list)
    if (asks(cause) && cause.sureness != Sureness::hint) return cause.kind;
  return std::nullopt;
}

std::optional<Verdict> beyond(const FlutterEvidence& evidence, const Causes& causes) noexcept {
  const BeyondUsual beyond = beyond_usual(evidence);
  if (!beyond.any() || !is_trustworthy(evidence)) return std::nullopt;
  Verdict verdict = by(Rule::wow_beyond_usual);
  if (beyond.weighted) {
    verdict.weighted = evidence.figures.weighted_two_sigma;
    verdict.usual_percent = evidence.usual_weighted_percent;
  } else {
    verdict.unweighted = evidence.figures.unweighted_two_sigma;
    verdict.usual_percent = kUsualUnweighted_percent;
  }
  verdict.first = first_named(causes, [](const Cause& cause) { return cause.fault && is_of_the_speed(cause.kind); });
  return verdict;
}

std::optional<Verdict> sound(const FlutterEvidence& evidence, const Causes& causes) noexcept {
  const Reading& reading = evidence.reading;
  const std::optional<FlutterFigure>& weighted = evidence.figures.weighted_two_sigma;
  if (reading.status != Status::measured || reading.trusted_s < kLeastTrusted_s) return std::nullopt;
  if (!reading.speed_error_percent || !reading.u95_percent || !weighted || has_scrape(evidence)) return std::nullopt;
  const std::optional<SpeedMove> move = speed_move(evidence);
  const double tolerance = tolerance_of(evidence), error = std::abs(*reading.speed_error_percent);
  if (!move || !is_steady(*move, tolerance)) return std::nullopt;
  const bool told = weighted->percent && weighted->u95_percent && !weighted->below_noise;
  const std::optional<double> most = told ? *weighted->percent + *weighted->u95_percent : weighted->least_percent;
  if (!most || !(*most <= evidence.usual_weighted_percent)) return std::nullopt;
  Verdict verdict = by(Rule::nothing_to_do);
  if (error - *reading.u95_percent > tolerance)
    verdict.rule = Rule::may_trim;
  else if (!(error + *reading.u95_percent <= tolerance))
    return std::nullopt;
  verdict.speed_error_percent = reading.speed_error_percent;
  verdict.speed_u95_percent = reading.u95_percent;
  verdict.tolerance_percent = tolerance;
  verdict.move = move;
  verdict.weighted = weighted;
  verdict.usual_percent = evidence.usual_weighted_percent;
  verdict.meets = strictest_met(*weighted);
  if (verdict.rule == Rule::may_trim)
    verdict.first = first_named(causes, [](const Cause& cause) { return names_a_part(cause.kind); });
  return verdict;
}

}  // namespace

std::string_view name_of(Rule rule) noexcept {
  switch (rule) {
    case Rule::clean_before_measuring: return "clean_before_measuring";
    case Rule::speed_sags: return "speed_sags";
    case Rule::warming_up: return "warming_up";
    case Rule::wow_hides_the_mean: return "wow_hides_the_mean";
    case Rule::wow_beyond_usual: return "wow_beyond_usual";
    case Rule::may_trim: return "may_trim";
    case Rule::nothing_to_do: return "nothing_to_do";
  }
  return "nothing_to_do";
}

Verdicts find_verdicts(const FlutterEvidence& evidence, const Causes& causes) noexcept {
  Verdicts verdicts;
  for (const std::optional<Verdict>& verdict :
       {clean(evidence), moves(evidence), hides(evidence), beyond(evidence, causes)})
    if (verdict) verdicts.add(*verdict);
  if (verdicts.empty())
    if (const std::optional<Verdict> verdict = sound(evidence, causes)) verdicts.add(*verdict);
  return verdicts;
}

}  // namespace four76
