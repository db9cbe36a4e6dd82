#include "web/coach/controls.hpp"

#include <variant>

#include "core/records/kept_lines.hpp"
#include "web/coach/update.hpp"
#include "web/overloaded.hpp"

namespace four76 {
namespace {

std::optional<Intent> screw_known(std::string_view value) {
  if (value.empty()) return intent::KnowScrew{};
  if (value != "faster" && value != "slower") return std::nullopt;
  return intent::KnowScrew{value == "faster"};
}

// "clockwise", "counter-clockwise", or how many turns beside it: "clockwise;0.25".
std::optional<Intent> turned(std::string_view value) {
  const auto parting = value.find(';');
  const std::string_view way = value.substr(0, parting);
  if (way != "clockwise" && way != "counter-clockwise") return std::nullopt;
  intent::TurnedScrew made{way == "clockwise" ? TurnWay::clockwise : TurnWay::counter_clockwise, std::nullopt};
  if (parting != std::string_view::npos) made.turns = parse_number(value.substr(parting + 1));
  return made;
}

}  // namespace

std::optional<Intent> coach_button(std::string_view act) {
  if (act == "act-demo") return intent::StartDemo{};
  if (act == "act-turned") return intent::TurnedScrew{};
  return std::nullopt;
}

std::optional<Intent> coach_control(std::string_view name, std::string_view value) {
  if (name == "turned") return turned(value);
  if (name == "clockwise") return screw_known(value);
  if (name == "watch") return intent::ShowWatch{value == "open"};
  if (name == "coach") return intent::ShowCoach{value == "open"};
  if (name == "trim") {
    if (const auto percent = parse_number(value)) return intent::SetTrimmer{*percent};
  }
  return std::nullopt;
}

void put_coach_usable(JsonWriter& json, const Model& model) {
  json.key("act-demo").value(can_demo(model));
  json.key("open-coach").value(can_turn(model));
  json.key("act-turned").value(can_turn(model));
}

Effects carry_out(Model& model, const CoachIntent& intent) {
  namespace in = intent;
  return std::visit(
      Overloaded{
          [&](const in::StartDemo&) { return can_demo(model) ? start_demo(model) : Effects{}; },
          [&](const in::TurnTrimmer& turn) { return set_trimmer(model, model.job.trim_percent + turn.percent); },
          [&](const in::SetTrimmer& set) { return set_trimmer(model, set.percent); },
          [&](const in::ShowWatch& shown) { return model.job.watch_shown = shown.on, Effects{}; },
          [&](const in::ShowCoach& shown) { return model.job.coach_shown = shown.on, Effects{}; },
          [&](const in::TurnedScrew& turned) { return turned_screw(model, turned); },
          [&](const in::KnowScrew& known) { return know_screw(model, known.clockwise_is_faster); },
      },
      intent);
}

}  // namespace four76
