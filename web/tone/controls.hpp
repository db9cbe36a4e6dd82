// Controls of the tone and how it is measured: what the page's buttons and controls ask for, when they can be used, and
// who answers.
#pragma once

#include <optional>
#include <string_view>

#include "web/doors/json.hpp"
#include "web/effect.hpp"
#include "web/intent.hpp"
#include "web/model.hpp"

namespace four76 {

[[nodiscard]] std::optional<Intent> tone_button(std::string_view act);
[[nodiscard]] std::optional<Intent> tone_control(std::string_view name, std::string_view value);
void put_tone_usable(JsonWriter& json, const Model& model);  // which buttons can be used now
void put_controls(JsonWriter& json, const Model& model);     // "controls": what can be chosen, and what is
Effects carry_out(Model& model, const ToneIntent& intent);

// The values of the HTML controls: "percent", "cents", "hz"; "both", "left", "right".
[[nodiscard]] std::string_view control_value(Unit unit) noexcept;
[[nodiscard]] std::string_view control_value(ChannelChoice channel) noexcept;
[[nodiscard]] std::string_view control_value(Trace trace) noexcept;  // "steady", "raw", "weighted"

}  // namespace four76
