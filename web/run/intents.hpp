// What the person asks of what runs.
#pragma once

#include <variant>

namespace four76 {

namespace intent {
struct Listen {};
struct Stop {};
struct Clear {};  // what is held
struct OpenFile {};
struct InputStalled {
  bool stalled = false;
};  // main's watch over the samples that should arrive
}  // namespace intent

using RunIntent = std::variant<intent::Listen, intent::Stop, intent::Clear, intent::OpenFile, intent::InputStalled>;

}  // namespace four76
