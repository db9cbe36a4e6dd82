// The mirror: where wow and flutter come from.
#pragma once

#include "web/doors/json.hpp"
#include "web/model.hpp"

namespace four76 {

// The reading on show: which verdicts and causes, by their names and in words; and what the panel says of them.
void put_cause_fields(JsonWriter& json, const Model& model);
void put_cause_words(JsonWriter& json, const Model& model);
void put_causes(JsonWriter& json, const Model& model);  // "causes_panel"

}  // namespace four76
