// How far off a speed may be, as `--tolerance` takes it.
#pragma once

#include <optional>
#include <string_view>

namespace four76::cli {

// What is wrong with it, or nothing.
inline std::optional<std::string_view> fault_of_tolerance(double percent) noexcept {
  if (percent >= 0.01 && percent <= 20.0) return std::nullopt;
  return "--tolerance takes 0.01 to 20 percent: 0.5 is the usual service check";
}

}  // namespace four76::cli
