#include "web/place/controls.hpp"

#include <variant>

#include "web/overloaded.hpp"

namespace four76 {
namespace {

Effects take_update(Model& model) {
  // The page reloads: never in the middle of a measurement.
  const bool busy = is_live(model) || model.phase == Phase::asking || model.phase == Phase::measuring_file;
  if (!model.update_ready || busy) return {};
  return {effect::TakeUpdate{}};
}

}  // namespace

std::optional<Intent> place_button(std::string_view act) {
  if (act == "act-update") return intent::TakeUpdate{};
  return std::nullopt;
}

std::optional<Intent> place_control(std::string_view name, std::string_view value) {
  if (name == "screen") return intent::ScreenTold{value == "dark"};
  if (name == "look") return intent::ChooseLook{value == "daylight"};
  return std::nullopt;
}

void put_place_usable(JsonWriter& json, const Model& model) {
  json.key("act-update")
      .value(model.update_ready &&
             (model.phase == Phase::idle || model.phase == Phase::failed || is_file(model) || is_held(model)));
}

Effects carry_out(Model& model, const PlaceIntent& intent) {
  namespace in = intent;
  return std::visit(
      Overloaded{
          [&](const in::ShowHelp& help) { return Effects{effect::ShowHelp{help.section}}; },
          [&](const in::TakeUpdate&) { return take_update(model); },
          [&](const in::ScreenTold& told) { return model.screen_may_go_dark = told.may_go_dark, Effects{}; },
          [&](const in::ChooseLook& chosen) { return model.daylight = chosen.daylight, Effects{}; },
      },
      intent);
}

}  // namespace four76
