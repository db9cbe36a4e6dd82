#include "web/flutter/controls.hpp"

#include <variant>

#include "web/overloaded.hpp"

namespace four76 {

std::optional<Intent> flutter_button(std::string_view act) {
  if (act == "act-flutter") return intent::NextView{};
  return std::nullopt;
}

void put_flutter_usable(JsonWriter& json, const Model& model) { json.key("act-flutter").value(can_change_view(model)); }

Effects carry_out(Model& model, const FlutterIntent& intent) {
  namespace in = intent;
  model.view =
      std::visit(Overloaded{
                     [&](const in::ChooseView& chosen) { return chosen.view; },
                     [&](const in::NextView&) { return model.view == View::flutter ? View::speed : View::flutter; },
                 },
                 intent);
  return {};
}

}  // namespace four76
