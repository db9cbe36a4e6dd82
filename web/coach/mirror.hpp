// The mirror: what the coach says, and the long watch.
#pragma once

#include "web/doors/json.hpp"
#include "web/model.hpp"

namespace four76 {

void put_coach(JsonWriter& json, const Model& model);  // "coach"
void put_watch(JsonWriter& json, const Model& model);  // "watch"

}  // namespace four76
