// theme: the only place with colours and font sizes. Kept in step with shell/theme.css.
#pragma once

#include <imgui.h>

#include <cstdint>
#include <span>

namespace four76::theme {

constexpr ImU32 rgb(std::uint32_t hex, std::uint32_t alpha = 0xFF) {
  return IM_COL32((hex >> 16) & 0xFF, (hex >> 8) & 0xFF, hex & 0xFF, alpha);
}
constexpr ImU32 faded(ImU32 colour, float part) {
  const auto alpha = static_cast<ImU32>(static_cast<float>((colour >> IM_COL32_A_SHIFT) & 0xFF) * part);
  return (colour & ~IM_COL32_A_MASK) | (alpha << IM_COL32_A_SHIFT);
}

inline constexpr ImU32 kGround = rgb(0x17130F);
inline constexpr ImU32 kRaised = rgb(0x221C16);
inline constexpr ImU32 kLifted = rgb(0x332A20);  // a button on kRaised
inline constexpr ImU32 kLine = rgb(0x453A2D);    // rules and outlines
inline constexpr ImU32 kPaper = rgb(0xF1E7D3);   // figures and text
inline constexpr ImU32 kDim = rgb(0xB5A88F);
inline constexpr ImU32 kAccent = rgb(0xE8A33D);
inline constexpr ImU32 kWarning = rgb(0xE0674C);
inline constexpr ImU32 kOnAccent = rgb(0x17130F);

// The strip of tape: oxide, lighter and darker, its edge, and the parts it runs over.
inline constexpr ImU32 kTape = rgb(0x5B3B28);
inline constexpr ImU32 kTapeSheen = rgb(0x704B34);
inline constexpr ImU32 kTapeShade = rgb(0x472D1F);
inline constexpr ImU32 kTapeEdge = rgb(0x9A6B4A);
inline constexpr ImU32 kMetal = rgb(0x8C8171);
inline constexpr ImU32 kMetalDark = rgb(0x4A4338);

// What the fonts are made for: a change of any of these makes them anew.
struct FontSizes {
  float text_px = 15.0F;
  float figure_px = 96.0F;
  float reading_px = 30.0F;
  float pixel_ratio = 1.0F;  // device pixels to a CSS pixel
  bool operator==(const FontSizes&) const = default;
};

struct Fonts {
  ImFont* small = nullptr;    // 0.84 of the text's size
  ImFont* text = nullptr;     //
  ImFont* bold = nullptr;     // of the text's size
  ImFont* strong = nullptr;   // bold, 1.4 of it: the hint
  ImFont* reading = nullptr;  // bold, digits and units only: the frequency, to be read from afar
  ImFont* figure = nullptr;   // likewise, the huge one
};

// Fills ImGui's atlas anew; the renderer's texture has to be made again after it.
Fonts make_fonts(const FontSizes& sizes, std::span<const std::uint8_t> regular, std::span<const std::uint8_t> bold);

}  // namespace four76::theme
