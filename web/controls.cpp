#include "web/controls.hpp"

#include <cmath>
#include <cstdio>

#include "core/records/kept_lines.hpp"
#include "web/clock/controls.hpp"
#include "web/coach/controls.hpp"
#include "web/flutter/causes/controls.hpp"
#include "web/flutter/controls.hpp"
#include "web/friend/controls.hpp"
#include "web/machine/controls.hpp"
#include "web/place/controls.hpp"
#include "web/run/controls.hpp"
#include "web/song/controls.hpp"
#include "web/tone/controls.hpp"

namespace four76 {

std::optional<Intent> intent_of_button(std::string_view act) {
  for (const auto button : {&run_button, &place_button, &tone_button, &clock_button, &machine_button, &coach_button,
                            &friend_button, &flutter_button, &song_button})
    if (auto intent = button(act)) return intent;
  return std::nullopt;
}

std::optional<Intent> intent_of_control(std::string_view name, std::string_view value) {
  for (const auto control : {&place_control, &tone_control, &clock_control, &machine_control, &coach_control,
                             &causes_control, &song_control})
    if (auto intent = control(name, value)) return intent;
  return std::nullopt;
}

void put_usable(JsonWriter& json, const Model& model) {
  json.key("usable").open('{');
  put_run_usable(json, model);
  put_place_usable(json, model);
  put_tone_usable(json, model);
  put_clock_usable(json, model);
  put_machine_usable(json, model);
  put_coach_usable(json, model);
  put_friend_usable(json, model);
  put_flutter_usable(json, model);
  put_song_usable(json, model);
  json.close('}');
}

std::string control_value(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.9g", value);
  return text;
}

std::optional<std::size_t> index_of(std::string_view value, std::size_t count) {
  const auto parsed = parse_number(value);
  if (!parsed || !(*parsed >= 0.0 && *parsed < static_cast<double>(count)) || *parsed != std::floor(*parsed))
    return std::nullopt;
  return static_cast<std::size_t>(*parsed);
}

}  // namespace four76
