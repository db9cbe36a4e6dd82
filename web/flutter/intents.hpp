// Wow and flutter are looked at, or the speed.
#pragma once

#include <variant>

#include "web/flutter/state.hpp"

namespace four76 {

namespace intent {
struct ChooseView {
  View view = View::speed;
};
struct NextView {};
}  // namespace intent

using FlutterIntent = std::variant<intent::ChooseView, intent::NextView>;

}  // namespace four76
