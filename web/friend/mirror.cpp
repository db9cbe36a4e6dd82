#include "web/friend/mirror.hpp"

#include "web/friend/words.hpp"

namespace four76 {

// What there is to do with a friend's link: to file what came, to send back what was measured, or to ask.
void put_friend(JsonWriter& json, const Model& model) {
  const FriendBench& friends = model.friends;
  const auto& asked = friends.asked;
  json.key("friend").open('{');
  json.key("mode").value(friends.done ? "file" : asked && friends.answered ? "answer" : "ask");
  json.key("id").value(friends.done ? friends.done->id : asked ? asked->id : "");
  json.key("said").value(words::friend_said(model));
  json.close('}');
}

}  // namespace four76
