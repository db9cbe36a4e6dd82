#include "web/machine/controls.hpp"

#include <utility>
#include <variant>

#include "core/records/kept_lines.hpp"
#include "web/controls.hpp"
#include "web/machine/update.hpp"
#include "web/machine/words.hpp"
#include "web/overloaded.hpp"

namespace four76 {
namespace {

constexpr std::string_view kCardsStates[] = {"kept", "refused", "full", "set-aside"};  // in the order of CardsState

std::optional<Intent> named_place(std::string_view value) {
  for (const TapePlace place : kTapePlaces)
    if (name_of(place) == value) return intent::ChoosePlace{place};
  return std::nullopt;
}

}  // namespace

std::optional<Intent> machine_button(std::string_view act) {
  if (act == "act-measure") return intent::Measure{};
  if (act == "act-as-found") return intent::MeasureVisit{VisitStage::as_found};
  if (act == "act-as-left") return intent::MeasureVisit{VisitStage::as_left};
  if (act == "act-cards") return intent::ShowHelp{"cards"};
  if (act == "act-forget-measured") return intent::ForgetMeasured{};
  return std::nullopt;
}

std::optional<Intent> machine_control(std::string_view name, std::string_view value) {
  if (name == "place") return named_place(value);
  if (name == "cards") return chosen<intent::CardsChanged, CardsState>(value, kCardsStates);
  if (name == "visit") return intent::VisitStored{};
  if (name == "visit-seconds") {
    if (const auto seconds = parse_number(value)) return intent::ChooseVisitSeconds{*seconds};
  }
  return std::nullopt;
}

void put_machine_usable(JsonWriter& json, const Model& model) {
  json.key("act-measure").value(can_measure(model));
  json.key("act-forget-measured").value(!words::measured(model).empty());
  json.key("act-as-found").value(can_visit(model, VisitStage::as_found));
  json.key("act-as-left").value(can_visit(model, VisitStage::as_left));
}

Effects carry_out(Model& model, const MachineIntent& intent) {
  namespace in = intent;
  return std::visit(
      Overloaded{
          [&](const in::Measure&) { return measure(model); },
          [&](const in::MeasureVisit& wanted) { return measure_visit(model, wanted.stage); },
          [&](const in::ChoosePlace& chosen) { return choose_place(model, chosen.place); },
          [&](const in::ChooseVisitSeconds& chosen) { return choose_visit_seconds(model, chosen.seconds); },
          [&](const in::ForgetMeasured&) { return forget_measured(model); },
          [&](const in::VisitStored&) {
            model.machine.visit_said = std::exchange(model.machine.visit_on_its_way, {});
            return Effects{};
          },
          [&](const in::CardsChanged& changed) { return model.machine.cards = changed.state, Effects{}; },
      },
      intent);
}

}  // namespace four76
