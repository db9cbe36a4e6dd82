// Controls of the page around the instrument: what the page's buttons and controls ask for, when they can be used, and
// who answers.
#pragma once

#include <optional>
#include <string_view>

#include "web/doors/json.hpp"
#include "web/effect.hpp"
#include "web/intent.hpp"
#include "web/model.hpp"

namespace four76 {

[[nodiscard]] std::optional<Intent> place_button(std::string_view act);
[[nodiscard]] std::optional<Intent> place_control(std::string_view name, std::string_view value);
void put_place_usable(JsonWriter& json, const Model& model);  // which buttons can be used now
Effects carry_out(Model& model, const PlaceIntent& intent);

}  // namespace four76
