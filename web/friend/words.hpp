// What came by a link from a friend, in words.
#pragma once

#include <string>

#include "core/records/check_link.hpp"
#include "web/model.hpp"

namespace four76::words {

[[nodiscard]] std::string friend_asks(const CheckAsked& asked);
[[nodiscard]] std::string friend_found(const CheckDone& done);
[[nodiscard]] std::string friend_said(const Model& model);  // what came by a link; empty where nothing did

}  // namespace four76::words
