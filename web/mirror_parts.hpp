// The mirror's parts, each a key of its object or some. Within mirror*.cpp only.
#pragma once

#include "web/doors/json.hpp"
#include "web/intent.hpp"
#include "web/model.hpp"

namespace four76 {

void put_controls(JsonWriter& json, const Model& model);  // "controls"
void put_advice(JsonWriter& json, const Model& model);    // "advice", "doubt"
void put_budget(JsonWriter& json, const Model& model);    // "budget"
// The fields of one channel, and the words for them.
void put_flutter(JsonWriter& json, const FlutterReading& all, const FlutterPicture& picture);
void put_flutter_words(JsonWriter& json, const FlutterReading& all, const FlutterPicture& picture);
// The reading on show: which verdicts and causes, by their names and in words; and what the panel says of them.
void put_cause_fields(JsonWriter& json, const Model& model);
void put_cause_words(JsonWriter& json, const Model& model);
void put_causes(JsonWriter& json, const Model& model);   // "causes_panel"
void put_measure(JsonWriter& json, const Model& model);  // "measure"
void put_coach(JsonWriter& json, const Model& model);    // "coach"
void put_watch(JsonWriter& json, const Model& model);    // "watch"
void put_friend(JsonWriter& json, const Model& model);   // "friend"
void put_clock(JsonWriter& json, const Model& model);    // "clock"
// The song bench: its fields and words of the reading, the reasons of a tape's file, and "song".
void put_song_fields(JsonWriter& json, const Model& model);
void put_song_words(JsonWriter& json, const Model& model);
void put_song_reasons(JsonWriter& json, const Model& model);
void put_song_advice(JsonWriter& json, const Model& model);
[[nodiscard]] std::string song_reasons_spoken(const Model& model);
void put_song(JsonWriter& json, const Model& model);

}  // namespace four76
