#include "core/cli/causes_json.hpp"

#include <optional>
#include <string>

#include "core/records/cause_text.hpp"
#include "core/records/verdict_text.hpp"

namespace four76::cli {
namespace {

using Json = nlohmann::ordered_json;

Json or_null(const std::optional<double>& value) { return value ? Json(*value) : Json(nullptr); }
void put(Json& object, const char* name, const std::optional<double>& value) {
  if (value) object[name] = *value;
}

Json peaks_of(const Cause& cause) {
  Json array = Json::array();
  for (const CausePeak& peak : cause.peaks)
    array.push_back({{"rate_hz", peak.rate_hz}, {"peak_percent", peak.peak_percent}, {"harmonic", peak.harmonic}});
  return array;
}

Json fits_of(const Cause& cause) {
  Json array = Json::array();
  for (const PartFit& fit : cause.fits) {
    Json object = {{"part", name_of(fit.part)}, {"harmonic", fit.harmonic}, {"probability", fit.probability}};
    if (fit.implied) object[std::string(name_of(fit.implied->kind))] = fit.implied->value;
    array.push_back(std::move(object));
  }
  return array;
}

// What the figure of a cause counts.
const char* figure_name(CauseKind kind) noexcept {
  switch (kind) {
    case CauseKind::dropouts: return "per_minute";
    case CauseKind::sag:
    case CauseKind::warm_up: return "moved_percent";
    case CauseKind::trimmer: return "speed_error_percent";
    default: return "figure_percent";
  }
}

Json to_object(const Cause& cause) {
  Json object = {{"cause", name_of(cause.kind)},        {"fault", cause.fault},
                 {"sureness", name_of(cause.sureness)}, {"share_percent", or_null(cause.share_percent)},
                 {"title", cause_title(cause)},         {"evidence", cause_evidence(cause)}};
  put(object, "rate_hz", cause.rate_hz);
  put(object, "change_hz_per_minute", cause.change_hz_per_minute);
  put(object, figure_name(cause.kind), cause.figure);
  put(object, "over_s", cause.over_s);
  put(object, "needs_span_s", cause.needs_span_s);
  if (!cause.peaks.empty()) object["peaks"] = peaks_of(cause);
  if (!cause.fits.empty()) object["parts"] = fits_of(cause);
  object["to_do"] = cause_steps(cause);
  return object;
}

Json to_object(const Verdict& verdict) {
  Json object = {{"rule", name_of(verdict.rule)},
                 {"may_trim", verdict.rule == Rule::may_trim},
                 {"text", verdict_text(verdict)},
                 {"rests_on", verdict_rule_text(verdict)}};
  put(object, "speed_error_percent", verdict.speed_error_percent);
  put(object, "speed_u95_percent", verdict.speed_u95_percent);
  put(object, "tolerance_percent", verdict.tolerance_percent);
  if (verdict.move) {
    object["moved_percent"] = verdict.move->change_percent;
    object["moved_u95_percent"] = verdict.move->u95_percent;
    object["over_s"] = verdict.move->over_s;
  }
  put(object, "wow_u95_percent", verdict.wow_u95_percent);
  if (verdict.weighted) put(object, "weighted_two_sigma_percent", verdict.weighted->percent);
  if (verdict.unweighted) put(object, "unweighted_two_sigma_percent", verdict.unweighted->percent);
  put(object, "usual_percent", verdict.usual_percent);
  put(object, "level_rms_percent", verdict.level_rms_percent);
  put(object, "dropouts_per_minute", verdict.dropouts_per_minute);
  put(object, "deepest_dropout_db", verdict.deepest_dropout_db);
  return object;
}

}  // namespace

Json causes_to_json(const Causes& causes) {
  Json array = Json::array();
  for (const Cause& cause : causes.list) array.push_back(to_object(cause));
  return array;
}

Json verdicts_to_json(const Verdicts& verdicts) {
  Json array = Json::array();
  for (const Verdict& verdict : verdicts) array.push_back(to_object(verdict));
  return array;
}

}  // namespace four76::cli
