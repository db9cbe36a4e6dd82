// The mirror: wow and flutter: the fields of one channel, and the words for them.
#pragma once

#include "core/flutter/flutter_figures.hpp"
#include "web/doors/json.hpp"
#include "web/snapshot/picture.hpp"

namespace four76 {

void put_flutter(JsonWriter& json, const FlutterReading& all, const FlutterPicture& picture);
void put_flutter_words(JsonWriter& json, const FlutterReading& all, const FlutterPicture& picture);

}  // namespace four76
