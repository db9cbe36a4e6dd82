// CauseText: the causes in a repairer's words, the same for the page and the command line.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/flutter/causes.hpp"

namespace four76 {

[[nodiscard]] std::string_view words_of(Part part) noexcept;          // "pinch roller"
[[nodiscard]] std::string_view words_of(Sureness sureness) noexcept;  // "likely"

// "Pinch roller", "Supply or take-up reel": short enough to stand beside a peak.
[[nodiscard]] std::string cause_title(const Cause& cause);
// "7.6 Hz and its double: what a capstan of 2.0 mm would make; 62 % of the wow and flutter." And what else it might be.
[[nodiscard]] std::string cause_evidence(const Cause& cause);
// What to do, in order, each step with the state of the machine in which it is done; nothing where nothing is to be
// done. The cautions that belong to it: core/records/safety_text.
[[nodiscard]] std::vector<std::string> cause_steps(const Cause& cause);
// For all together, in the trade's order.
[[nodiscard]] std::vector<std::string> work_steps(const Causes& causes);

[[nodiscard]] std::string_view step_text(RepairStep step) noexcept;
// Why nothing is said of the rates, and what to do.
[[nodiscard]] std::string_view thin_text(Thin thin) noexcept;

// "a capstan of 2.0 mm": what a rate would be of a part; nothing where that cannot be said.
[[nodiscard]] std::optional<std::string> implied_text(Part part, double rate_hz, const KnownParts& known,
                                                      double speed_error_percent = 0.0);

}  // namespace four76
