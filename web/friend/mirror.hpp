// The mirror: a friend's link.
#pragma once

#include "web/doors/json.hpp"
#include "web/model.hpp"

namespace four76 {

void put_friend(JsonWriter& json, const Model& model);  // "friend"

}  // namespace four76
