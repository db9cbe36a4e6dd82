// The mirror: the reading on show and each channel's, with the words for them.
#pragma once

#include "web/doors/json.hpp"
#include "web/model.hpp"

namespace four76 {

void put_readings(JsonWriter& json, const Model& model);  // "reading", "channels", "channels_agree"

}  // namespace four76
