#include "web/platform/platform.hpp"

namespace four76 {
namespace {

bool holds(std::string_view text, std::string_view part) noexcept { return text.find(part) != std::string_view::npos; }

Platform named(std::string_view text) noexcept {
  if (holds(text, "Android")) return Platform::android;  // before Linux, which its name holds too
  if (holds(text, "iPhone") || holds(text, "iPad") || holds(text, "iPod") || text == "iOS")
    return Platform::iphone_ipad;
  if (holds(text, "Windows")) return Platform::windows;
  if (holds(text, "Macintosh") || holds(text, "macOS") || holds(text, "Mac OS")) return Platform::macos;
  if (holds(text, "Linux") || holds(text, "X11") || holds(text, "CrOS") || holds(text, "Chrome OS"))
    return Platform::linux;
  return Platform::unknown;
}

}  // namespace

Platform platform_of(std::string_view stated, std::string_view user_agent, int touch_points) noexcept {
  Platform platform = named(stated);
  if (platform == Platform::unknown) platform = named(user_agent);
  return platform == Platform::macos && touch_points > 1 ? Platform::iphone_ipad : platform;
}

}  // namespace four76
