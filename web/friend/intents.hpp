// What the person asks of a link that a friend sent.
#pragma once

#include <variant>

namespace four76 {

namespace intent {
struct AnswerFriend {};  // measures what a link asks for, and lets it be sent back
struct LinkFiled {};     // the result that came is on a card, or is not wanted
}  // namespace intent

using FriendIntent = std::variant<intent::AnswerFriend, intent::LinkFiled>;

}  // namespace four76
