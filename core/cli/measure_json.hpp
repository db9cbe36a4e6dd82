// A measurement as the JSON object "four76.measure/1".
#pragma once

#include <string>

#include "core/cli/measurement.hpp"

namespace four76::cli {

// One object, indented, without a line's end. What was not measured is null; a part that is not built yet is absent.
// Bytes of the file's name that are not UTF-8 come out as U+FFFD.
std::string to_json(const Measurement& measurement);

}  // namespace four76::cli
