// Controls: the intent that an HTML button or control stands for. Each feature knows its own (its controls.cpp): their
// names, when they can be used, what they ask for and who answers.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "web/doors/json.hpp"
#include "web/intent.hpp"
#include "web/model.hpp"

namespace four76 {

// Nothing where the name or the value is not known.
[[nodiscard]] std::optional<Intent> intent_of_button(std::string_view act);
[[nodiscard]] std::optional<Intent> intent_of_control(std::string_view name, std::string_view value);
void put_usable(JsonWriter& json, const Model& model);  // "usable": which buttons can be pressed

[[nodiscard]] std::string control_value(double value);  // "3003.27": as settings are kept, too
// Of a list of `count`; nothing where there is no such place in it.
[[nodiscard]] std::optional<std::size_t> index_of(std::string_view value, std::size_t count);

// The intent that chooses what is so named; the names stand in the order of the enumerators.
template <class Chosen, class Choice>
std::optional<Intent> chosen(std::string_view value, std::span<const std::string_view> names) {
  for (std::size_t i = 0; i < names.size(); ++i)
    if (names[i] == value) return Chosen{static_cast<Choice>(i)};
  return std::nullopt;
}

}  // namespace four76
