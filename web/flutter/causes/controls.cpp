#include "web/flutter/causes/controls.hpp"

#include <string>
#include <variant>

#include "web/flutter/causes/update.hpp"
#include "web/overloaded.hpp"

namespace four76 {

std::optional<Intent> causes_control(std::string_view name, std::string_view value) {
  if (name == "parts") return intent::EnterParts{std::string(value)};
  return std::nullopt;
}

Effects carry_out(Model& model, const CausesIntent& intent) {
  namespace in = intent;
  return std::visit(Overloaded{[&](const in::EnterParts& entered) { return enter_parts(model, entered.text); }},
                    intent);
}

}  // namespace four76
