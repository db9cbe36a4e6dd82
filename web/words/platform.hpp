// Where each system switches off what it does to a voice, and allows the microphone.
#pragma once

#include <string>
#include <string_view>

#include "web/platform/browser.hpp"
#include "web/platform/platform.hpp"

namespace four76::words {

// Where the system itself allows the microphone; empty where that is not known.
[[nodiscard]] std::string_view microphone_steps(Platform platform) noexcept;

// What the device does to a voice, and where to switch it off.
struct PlatformSteps {
  std::string_view name;   // "Android"
  std::string_view brief;  // a sentence for the hint
  std::string_view steps;  // all of it
};
[[nodiscard]] PlatformSteps voice_steps(Platform platform) noexcept;
// What the browser says of it where that is not all off: "The browser says that noise suppression is still ON." Else
// empty.
[[nodiscard]] std::string processing_doubt(const browser::CaptureStarted& capture);

}  // namespace four76::words
