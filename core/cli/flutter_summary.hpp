// The summary's part on wow and flutter: figures with their judgement, the rates, verdicts, causes, what to do.
#pragma once

#include <string>

#include "core/cli/measurement.hpp"

namespace four76::cli {

// Empty where there is nothing to say.
std::string flutter_summary(const ChannelReading& channel);

// "  label        text", one line of a summary.
std::string summary_line(std::string_view label, std::string_view text);

}  // namespace four76::cli
