// VerdictText: the verdicts and the named standards in a repairer's words, the same for the page and the command line.
#pragma once

#include <string>
#include <string_view>

#include "core/flutter/standards.hpp"
#include "core/flutter/verdicts.hpp"

namespace four76 {

// "Do not trim yet: the speed sank by 0.80 % in 4 minutes: belt, motor or batteries first."
[[nodiscard]] std::string verdict_text(const Verdict& verdict);
// The rule and its figures: "At most half the tolerance of 0.5 % is let pass."
[[nodiscard]] std::string verdict_rule_text(const Verdict& verdict);

[[nodiscard]] std::string_view words_of(Standard standard) noexcept;  // "the hi-fi minimum (DIN 45500)"
// "meets the hi-fi minimum (DIN 45500): 0.2 % weighted"
[[nodiscard]] std::string judgement_text(Standard standard, Judgement judgement);

}  // namespace four76
