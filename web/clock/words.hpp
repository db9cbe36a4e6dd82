// The device's clock in words: how it runs, and how a check of it stands.
#pragma once

#include <string>

#include "core/records/clock_book.hpp"
#include "web/model.hpp"
#include "web/words/said.hpp"

namespace four76::words {

[[nodiscard]] std::string clock_runs(const ClockCorrection& correction);  // "34 ± 6 ppm fast"
[[nodiscard]] std::string kept_clock(const CheckedClock& clock);  // "Line in at 48 kHz: runs 34 ± 6 ppm fast, ..."
[[nodiscard]] std::string clock_said(const Model& model);         // of the check: how it stands, or came out
[[nodiscard]] Advice advice(ClockFault fault, const Model& model);

}  // namespace four76::words
