// The clock's part of update: a check from its beginning to what is kept of it.
#pragma once

#include <cstddef>
#include <string>

#include "web/clock/intents.hpp"
#include "web/effect.hpp"
#include "web/model.hpp"

namespace four76 {

Effects check_clock(Model& model, const intent::CheckClock& wanted);
Effects keep_clock(Model& model, const intent::KeepClock& keep);
Effects forget_clock(Model& model, std::size_t index);
Effects forget_broken_clocks(Model& model);
Effects close_clock_check(Model& model);
// After each new snapshot.
Effects advance_clock_check(Model& model);
void restore_clocks(Model& model, const std::string& kept);

}  // namespace four76
