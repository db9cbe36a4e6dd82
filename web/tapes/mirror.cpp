#include "web/tapes/mirror.hpp"

#include <algorithm>

#include "core/phrase.hpp"
#include "core/records/card.hpp"
#include "core/records/tapes_text.hpp"
#include "web/doors/json.hpp"
#include "web/tapes/card_visit.hpp"
#include "web/tapes/words.hpp"

namespace four76 {
namespace {

void write_figures(JsonWriter& json, const SpeedAnswer& answer) {
  json.key("figures").open('[');
  for (const SpeedCandidate& each : answer.candidates) {
    const TapeFigure figure = tape_figure(each.speed_error_percent, each.u95_percent);
    json.open('{').key("number").value(figure.number).key("plus_minus").value(figure.plus_minus);
    json.key("percent").value(std::optional(each.speed_error_percent));
    json.key("u95_percent").value(std::optional(each.u95_percent)).close('}');
  }
  json.close(']');
}

// Of the tape that plays, and of all together; each once.
std::vector<TapeReason> reasons_of(const TapesOnShow& shown, const SpeedAnswer& answer) {
  std::vector<TapeReason> reasons = shown.present ? shown.present->reasons : std::vector<TapeReason>{};
  if (!shown.present && shown.drawer.tapes.empty()) return reasons;
  for (const TapeReason each : answer.reasons)
    if (std::find(reasons.begin(), reasons.end(), each) == reasons.end()) reasons.push_back(each);
  return reasons;
}

void write_reasons(JsonWriter& json, const TapesOnShow& shown, const SpeedAnswer& answer) {
  json.key("reasons").open('[');
  for (const TapeReason each : reasons_of(shown, answer)) {
    const auto [what, todo] = words::tape_advice(each);
    json.open('{').key("name").value(name_of(each)).key("what").value(what).key("todo").value(todo).close('}');
  }
  json.close(']');
}

void write_tapes(JsonWriter& json, const TapesOnShow& shown, const SpeedAnswer& answer) {
  const auto& tapes = shown.drawer.tapes;
  json.key("tapes").open('[');
  for (std::size_t i = 0; i < tapes.size(); ++i) {
    const bool apart = std::find(answer.disagreeing.begin(), answer.disagreeing.end(), i) != answer.disagreeing.end();
    const SpeedAnswer own =
        speed_from({&tapes[i].findings, 1}, shown.drawer.tuning, shown.tolerance_percent, shown.drawer.sounds_like);
    json.open('{').key("name").value(tapes[i].name).key("says").value(words::says(own));
    json.key("apart").value(apart).close('}');
  }
  json.close(']');
}

void write_movement(JsonWriter& json, const TapesOnShow& shown) {
  const TapeFindings none;
  const TapeFindings& findings = shown.present                ? *shown.present
                                 : shown.drawer.tapes.empty() ? none
                                                              : shown.drawer.tapes.back().findings;
  json.key("lately").value(shown.present ? words::lately(*shown.present) : "");
  json.key("lately_percent").value(shown.present ? shown.present->lately_percent : std::nullopt);
  json.key("wow").value(words::wow(findings));
}

}  // namespace

std::vector<TapeFindings> all_findings(const TapesOnShow& shown) {
  std::vector<TapeFindings> all;
  all.reserve(shown.drawer.tapes.size() + 1);
  for (const DrawerTape& tape : shown.drawer.tapes) all.push_back(tape.findings);
  if (shown.present) all.push_back(*shown.present);
  return all;
}

SpeedAnswer answer_of(const TapesOnShow& shown) {
  return speed_from(all_findings(shown), shown.drawer.tuning, shown.tolerance_percent, shown.drawer.sounds_like);
}

std::string tapes_json(const TapesOnShow& shown) {
  const std::vector<TapeFindings> all = all_findings(shown);
  const SpeedAnswer answer = answer_of(shown);
  const double heard_s = shown.present ? shown.present->heard_s : 0.0;
  JsonWriter json;
  json.open('{').key("status").value(name_of(answer.status));
  write_figures(json, answer);
  write_reasons(json, shown, answer);
  write_tapes(json, shown, answer);
  write_movement(json, shown);
  json.key("basis").value(words::basis(all, shown.drawer.tuning, answer.status));
  json.key("to_go").value(words::tapes_to_go(answer, shown.tolerance_percent));
  json.key("heard_s").value(std::optional(heard_s));
  json.key("heard").value(shown.present ? say("{0} seconds", std::to_string(static_cast<int>(heard_s))) : "");
  json.key("can_keep").value(shown.present && !shown.present->evidence.empty());
  json.key("concert_a_hz").value(shown.drawer.tuning.concert_a_hz);
  json.key("sounds_like").value(std::optional(static_cast<double>(shown.drawer.sounds_like)));
  const auto visit = tapes_visit(shown);
  json.key("visit").raw(visit ? write_visit(*visit) : "null");
  return json.close('}').take();
}

}  // namespace four76
