// Controls of what is known of the machine: what the page's buttons and controls ask for, when they can be used, and
// who answers.
#pragma once

#include <optional>
#include <string_view>

#include "web/effect.hpp"
#include "web/intent.hpp"
#include "web/model.hpp"

namespace four76 {

[[nodiscard]] std::optional<Intent> causes_control(std::string_view name, std::string_view value);
Effects carry_out(Model& model, const CausesIntent& intent);

}  // namespace four76
