// PartsText: what is known of a machine as one line of text, to be kept and to come back from a form:
// "capstan_mm=2;tape=c90;side_played=0.25". Names and units as in KnownParts; what is not known is left out.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/flutter/known_parts.hpp"

namespace four76 {

[[nodiscard]] std::string text_of(const KnownParts& known);
// Nothing where the text is not of this form, or longer than 400 characters. The values are not judged: see fault_in.
[[nodiscard]] std::optional<KnownParts> known_parts_of(std::string_view text);

}  // namespace four76
