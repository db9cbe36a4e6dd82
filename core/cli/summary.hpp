// A measurement for people to read: a few aligned lines, as many digits as the uncertainty allows, and for every
// reason what it is and what to do.
#pragma once

#include <string>

#include "core/cli/measurement.hpp"

namespace four76::cli {

std::string summary_of(const Measurement& measurement);

// In one line, for a file in which no channel could be measured.
std::string why_not_measured(const Measurement& measurement);

}  // namespace four76::cli
