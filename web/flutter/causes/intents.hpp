// What the person says of the machine.
#pragma once

#include <string>
#include <variant>

namespace four76 {

namespace intent {
struct EnterParts {
  std::string text;  // see parts_text.hpp
};
}  // namespace intent

using CausesIntent = std::variant<intent::EnterParts>;

}  // namespace four76
