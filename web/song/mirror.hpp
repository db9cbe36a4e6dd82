// The mirror: the song bench: its fields and words of the reading, the reasons of a tape's file, and "song".
#pragma once

#include <string>

#include "web/doors/json.hpp"
#include "web/model.hpp"

namespace four76 {

void put_song_fields(JsonWriter& json, const Model& model);
void put_song_words(JsonWriter& json, const Model& model);
void put_song_reasons(JsonWriter& json, const Model& model);
void put_song_advice(JsonWriter& json, const Model& model);
[[nodiscard]] std::string song_reasons_spoken(const Model& model);
void put_song(JsonWriter& json, const Model& model);

}  // namespace four76
