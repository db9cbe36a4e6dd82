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

// The inks, by what they are for; figures of contrast stand in assets/docs/look.md.
struct Colours {
  ImU32 ground;
  ImU32 raised;
  ImU32 lifted;  // a button on what is raised
  ImU32 line;    // rules and outlines
  ImU32 paper;   // figures and text
  ImU32 dim;
  ImU32 accent;
  ImU32 warning;
  ImU32 on_accent;
  // The strip of tape: oxide, lighter and darker, its edge, and the parts it runs over.
  ImU32 tape, tape_sheen, tape_shade, tape_edge;
  ImU32 metal, metal_dark;
};

// Dark, for the bench.
inline constexpr Colours kBench{
    .ground = rgb(0x17130F),
    .raised = rgb(0x221C16),
    .lifted = rgb(0x332A20),
    .line = rgb(0x453A2D),
    .paper = rgb(0xF1E7D3),
    .dim = rgb(0xB5A88F),
    .accent = rgb(0xE8A33D),
    .warning = rgb(0xE0674C),
    .on_accent = rgb(0x17130F),
    .tape = rgb(0x5B3B28),
    .tape_sheen = rgb(0x704B34),
    .tape_shade = rgb(0x472D1F),
    .tape_edge = rgb(0x9A6B4A),
    .metal = rgb(0x8C8171),
    .metal_dark = rgb(0x4A4338),
};
// Light, for daylight: ink on paper.
inline constexpr Colours kDaylight{
    .ground = rgb(0xF4ECDC),
    .raised = rgb(0xFFF9EC),
    .lifted = rgb(0xEADFC8),
    .line = rgb(0xC9BDA4),
    .paper = rgb(0x241B12),
    .dim = rgb(0x5E513F),
    .accent = rgb(0x8A4A00),
    .warning = rgb(0xA8321C),
    .on_accent = rgb(0xFFF9EC),
    .tape = rgb(0xB98A66),
    .tape_sheen = rgb(0xCBA07D),
    .tape_shade = rgb(0xA57754),
    .tape_edge = rgb(0x6F4A2E),
    .metal = rgb(0x7D7262),
    .metal_dark = rgb(0xC9BEA9),
};
[[nodiscard]] constexpr const Colours& colours(bool daylight) { return daylight ? kDaylight : kBench; }

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
