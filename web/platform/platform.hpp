// Platform: what the browser runs on, as far as it says: where to switch off what the system does to a voice.
#pragma once

#include <array>
#include <cstdint>
#include <string_view>

namespace four76 {

enum class Platform : std::uint8_t { unknown, android, iphone_ipad, macos, windows, linux };
inline constexpr std::array<Platform, 5> kPlatforms = {Platform::android, Platform::iphone_ipad, Platform::macos,
                                                       Platform::windows, Platform::linux};

// `stated` is navigator.userAgentData.platform, empty where the browser has none. An iPad calls itself a Macintosh and
// is told by its touch screen: no Mac has one.
[[nodiscard]] Platform platform_of(std::string_view stated, std::string_view user_agent, int touch_points) noexcept;

}  // namespace four76
