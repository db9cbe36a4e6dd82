// The mirror: the check of the device's clock.
#pragma once

#include "web/doors/json.hpp"
#include "web/model.hpp"

namespace four76 {

void put_clock(JsonWriter& json, const Model& model);  // "clock"

}  // namespace four76
