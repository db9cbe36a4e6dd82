// What the person asks of the check of the device's clock.
#pragma once

#include <cstddef>
#include <string>
#include <variant>

namespace four76 {

namespace intent {
struct CheckClock {
  double known_hz = 1000.0, source_u95_ppm = 0.0;
};
struct KeepClock {
  std::string date;  // of today, "2026-11-25"
};
struct ForgetClock {
  std::size_t index = 0;  // in the book
};
struct ForgetBrokenClocks {};
struct CloseClockCheck {};  // whether it runs or has ended
}  // namespace intent

using ClockIntent = std::variant<intent::CheckClock, intent::KeepClock, intent::ForgetClock, intent::ForgetBrokenClocks,
                                 intent::CloseClockCheck>;

}  // namespace four76
