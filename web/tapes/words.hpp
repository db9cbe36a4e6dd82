// What the page of any tapes says: numbers with no more digits than are known, what they go by, what to do.
#pragma once

#include <span>
#include <string>

#include "core/tapes/speed_posterior.hpp"
#include "web/tapes/drawer.hpp"
#include "web/words/said.hpp"

namespace four76::words {

// The speed in short: "+0.42 ±0.31 %", "−3.02 or +2.91 %", or what keeps it from being told.
[[nodiscard]] std::string says(const SpeedAnswer& answer);

// What the answer goes by.
[[nodiscard]] std::string basis(std::span<const TapeFindings> tapes, const TuningPrior& tuning, TapeStatus status);
[[nodiscard]] std::string tapes_to_go(const SpeedAnswer& answer, double tolerance_percent);
[[nodiscard]] Advice tape_advice(TapeReason reason);

// Of the machine's movement; empty where it is not known.
[[nodiscard]] std::string lately(const TapeFindings& findings);
[[nodiscard]] std::string wow(const TapeFindings& findings);

}  // namespace four76::words
