// Controls of which view is shown: what the page's buttons and controls ask for, when they can be used, and who
// answers.
#pragma once

#include <optional>
#include <string_view>

#include "web/doors/json.hpp"
#include "web/effect.hpp"
#include "web/intent.hpp"
#include "web/model.hpp"

namespace four76 {

[[nodiscard]] std::optional<Intent> flutter_button(std::string_view act);
void put_flutter_usable(JsonWriter& json, const Model& model);  // which buttons can be used now
Effects carry_out(Model& model, const FlutterIntent& intent);

}  // namespace four76
