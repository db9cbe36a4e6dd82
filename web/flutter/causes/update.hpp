// The causes' part of update.
#pragma once

#include <string>

#include "web/effect.hpp"
#include "web/model.hpp"

namespace four76 {

// After each new snapshot, and when what is known of the machine or the tolerance changed.
void judge_flutter(Model& model);
// All of it or nothing: what is wrong is said, and what was known stays.
Effects enter_parts(Model& model, const std::string& text);

}  // namespace four76
