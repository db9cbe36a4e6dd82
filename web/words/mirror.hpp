// The mirror: what is said beside the reading.
#pragma once

#include "web/doors/json.hpp"
#include "web/model.hpp"

namespace four76 {

void put_messages(JsonWriter& json, const Model& model);  // "messages"
void put_advice(JsonWriter& json, const Model& model);    // "advice", "doubt"

}  // namespace four76
