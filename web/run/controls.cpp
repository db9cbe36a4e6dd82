#include "web/run/controls.hpp"

#include <variant>

#include "web/friend/update.hpp"
#include "web/overloaded.hpp"
#include "web/run/update.hpp"

namespace four76 {

std::optional<Intent> run_button(std::string_view act) {
  if (act == "act-listen") return intent::Listen{};
  if (act == "act-stop") return intent::Stop{};
  if (act == "act-clear") return intent::Clear{};
  if (act == "act-open-file") return intent::OpenFile{};
  return std::nullopt;
}

void put_run_usable(JsonWriter& json, const Model& model) {
  json.key("act-listen").value(can_listen(model));
  json.key("act-stop").value(can_stop(model));
  json.key("act-clear").value(is_held(model));
  json.key("act-open-file").value(can_open_file(model));
}

Effects carry_out(Model& model, const RunIntent& intent) {
  namespace in = intent;
  return std::visit(Overloaded{
                        // Whoever was asked by a link listens for the one who asked.
                        [&](const in::Listen&) {
                          if (!can_listen(model)) return Effects{};
                          return can_answer(model) && !model.friends.answered ? answer_friend(model) : listen(model);
                        },
                        [&](const in::Stop&) { return stop(model); },
                        [&](const in::Clear&) { return is_held(model) ? end_running(model) : Effects{}; },
                        [&](const in::OpenFile&) { return Effects{effect::OpenFilePicker{}}; },
                        [&](const in::InputStalled& input) {
                          model.interrupted.stalled = input.stalled && is_live(model);
                          return Effects{};
                        },
                    },
                    intent);
}

}  // namespace four76
