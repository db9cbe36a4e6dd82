// fonts: B612, subset by the build, shared with the page: shell/program.js fetches the two files that shell/theme.css
// names and hands their bytes over. OpenType with CFF outlines, which ImGui's rasteriser reads. All digits, "+" and the
// minus sign stand in cells of equal width: digits 1300, signs 1200 of 2000. Covered: printable ASCII and  cent ° ± · ½
// × – — ‘ ’ “ ” • … ← ↑ → ↓ − ≤ ≥
#pragma once

#include <cstdint>
#include <span>

namespace four76::fonts {

std::span<const std::uint8_t> b612_regular() noexcept;
std::span<const std::uint8_t> b612_bold() noexcept;

}  // namespace four76::fonts
