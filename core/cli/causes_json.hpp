// Causes and verdicts as JSON: names that stay, figures with their units, and the repairer's words beside them.
#pragma once

#include <nlohmann/json.hpp>

#include "core/flutter/causes.hpp"
#include "core/flutter/verdicts.hpp"

namespace four76::cli {

nlohmann::ordered_json causes_to_json(const Causes& causes);
nlohmann::ordered_json verdicts_to_json(const Verdicts& verdicts);

}  // namespace four76::cli
