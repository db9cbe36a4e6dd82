// The mirror: timed measurements.
#pragma once

#include "web/doors/json.hpp"
#include "web/model.hpp"

namespace four76 {

void put_measure(JsonWriter& json, const Model& model);  // "measure"

}  // namespace four76
