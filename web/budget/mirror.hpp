// The mirror: the possible error.
#pragma once

#include "web/doors/json.hpp"
#include "web/model.hpp"

namespace four76 {

void put_budget(JsonWriter& json, const Model& model);  // "budget"

}  // namespace four76
