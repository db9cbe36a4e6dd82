// What the parts of update share: ending, failing, opening. Within update*.cpp only.
#pragma once

#include <string>

#include "web/intent.hpp"
#include "web/model.hpp"

namespace four76 {

void append(Effects& all, Effects more);
// Ends whatever runs and leaves the page idle.
Effects end_running(Model& model);
// Ends whatever runs; a check of the clock has then failed too.
Effects fail(Model& model, Failure failure);
// Opens a session for what runs; fails in words where the tone cannot be measured at this sample rate.
Effects open_session(Model& model, double discard_s);
void forget_readings(Model& model);
std::string plain(double value);  // as settings are kept

// ---- A check of the device's clock (update_clock.cpp)
// ----------------------------------------------------------------
Effects check_clock(Model& model, const intent::CheckClock& wanted);
Effects keep_clock(Model& model, const intent::KeepClock& keep);
Effects forget_clock(Model& model, std::size_t index);
Effects forget_broken_clocks(Model& model);
Effects close_clock_check(Model& model);
// After each new snapshot.
Effects advance_clock_check(Model& model);
void restore_clocks(Model& model, const std::string& kept);

}  // namespace four76
