// SafetyText: the cautions, in one place. They stand wherever somebody is told to reach into a machine, to open it or
// to adjust it: in the command line's summaries, and on the page beside the causes, the coach, the advice and in the
// report. guide.html and README.md, which are text alone, carry the same words; tests/docs_checks.mjs holds them to it.
#pragma once

#include <string_view>

#include "core/flutter/causes.hpp"
#include "core/flutter/verdicts.hpp"
#include "core/reading.hpp"

namespace four76 {

// It names the mains, the capacitors, the plug, whose work an open machine is, the service manual and the local codes
// (common practice).
[[nodiscard]] std::string_view safety_text() noexcept;

// Whether what is said of these sends somebody to the machine: to clean, mend or adjust it.
[[nodiscard]] bool sends_to_the_machine(Reason reason) noexcept;
[[nodiscard]] bool sends_to_the_machine(const Reading& reading) noexcept;
[[nodiscard]] bool sends_to_the_machine(const Causes& causes, const Verdicts& verdicts) noexcept;

// "Plug and batteries out": the state of the machine in which a step is done, to stand before it.
[[nodiscard]] std::string_view words_of(MachineState state) noexcept;

}  // namespace four76
