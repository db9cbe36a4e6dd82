// What the person asks of the page around the instrument, and what the page reports of itself.
#pragma once

#include <string_view>
#include <variant>

namespace four76 {

namespace intent {
struct ShowHelp {
  std::string_view section;
};  // "use", "trouble", "budget", "safety", "notices", "about"
struct TakeUpdate {};
struct ScreenTold {
  bool may_go_dark = false;
};  // whether the browser keeps it on
struct ChooseLook {
  bool daylight = false;
};
}  // namespace intent

using PlaceIntent = std::variant<intent::ShowHelp, intent::TakeUpdate, intent::ScreenTold, intent::ChooseLook>;

}  // namespace four76
