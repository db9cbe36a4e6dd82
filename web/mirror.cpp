#include "web/mirror.hpp"

#include <optional>
#include <string_view>

#include "core/phrase.hpp"
#include "web/budget/mirror.hpp"
#include "web/clock/mirror.hpp"
#include "web/coach/mirror.hpp"
#include "web/controls.hpp"
#include "web/doors/json.hpp"
#include "web/flutter/causes/mirror.hpp"
#include "web/friend/mirror.hpp"
#include "web/machine/mirror.hpp"
#include "web/machine/words.hpp"
#include "web/song/mirror.hpp"
#include "web/tone/controls.hpp"
#include "web/tone/mirror.hpp"
#include "web/words/hint.hpp"
#include "web/words/mirror.hpp"

namespace four76 {
namespace {

std::string_view name_of(Phase phase) {
  switch (phase) {
    case Phase::idle: return "idle";
    case Phase::asking: return "asking";
    case Phase::listening: return "listening";
    case Phase::demo: return "demo";
    case Phase::measuring_file: return "measuring_file";
    case Phase::file_shown: return "file_shown";
    case Phase::held: return "held";
    case Phase::failed: return "failed";
  }
  return "";
}

}  // namespace

std::string mirror_json(const Model& model) {
  JsonWriter json;
  json.open('{');
  json.key("phase").value(name_of(model.phase));
  put_readings(json, model);
  json.key("spoken").value(words::spoken(model));
  json.key("status_line").value(words::status_line(model));
  put_usable(json, model);
  put_controls(json, model);
  put_messages(json, model);
  put_advice(json, model);
  put_budget(json, model);
  put_clock(json, model);
  put_measure(json, model);
  put_causes(json, model);
  put_coach(json, model);
  put_friend(json, model);
  put_watch(json, model);
  put_song(json, model);
  json.key("tape").value(words::tape_at_hand(model));
  json.key("of_demo").value(is_demo(model));
  json.key("view").value(model.view == View::flutter ? "flutter" : "speed");
  json.key("processing").value(model.capture ? words::processing(*model.capture) : "");
  json.key("progress");
  if (model.phase == Phase::measuring_file) {
    json.value(std::optional<double>(model.file.fraction));
  } else {
    json.raw("null");
  }
  json.key("trim");
  if (model.phase == Phase::demo) {
    json.value(std::optional<double>(model.job.trim_percent));
  } else {
    json.raw("null");
  }
  json.key("file").value(model.file.name);
  json.key("update_ready").value(model.update_ready);
  json.close('}');
  return json.take();
}

}  // namespace four76
