#include "web/friend/controls.hpp"

#include <variant>

#include "web/friend/update.hpp"
#include "web/overloaded.hpp"

namespace four76 {

std::optional<Intent> friend_button(std::string_view act) {
  if (act == "act-answer") return intent::AnswerFriend{};
  if (act == "act-friend") return intent::ShowHelp{"friend"};
  if (act == "act-link-filed") return intent::LinkFiled{};
  return std::nullopt;
}

void put_friend_usable(JsonWriter& json, const Model& model) { json.key("act-answer").value(can_answer(model)); }

Effects carry_out(Model& model, const FriendIntent& intent) {
  namespace in = intent;
  return std::visit(Overloaded{
                        [&](const in::AnswerFriend&) { return answer_friend(model); },
                        [&](const in::LinkFiled&) { return link_filed(model); },
                    },
                    intent);
}

}  // namespace four76
