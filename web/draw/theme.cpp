#include "web/draw/theme.hpp"

#include <algorithm>
#include <cmath>

namespace four76::theme {
namespace {

// What the canvas writes of what the face covers (web/draw/fonts.hpp).
constexpr ImWchar kTextGlyphs[] = {0x20,   0x7E,   0xA0,   0xFF,   0x2013, 0x2014, 0x2018, 0x2019, 0x201C,
                                   0x201E, 0x2026, 0x2026, 0x2190, 0x2192, 0x2212, 0x2212, 0};
// Digits, signs, decimal marks, "%", "Hz", "cents" or "Cent", and the dash of no number.
constexpr ImWchar kFigureGlyphs[] = {0x20, 0x20, 0x25, 0x25, 0x2B,   0x39,   'C',    'C',    'H',
                                     'H',  'c',  'c',  'e',  'e',    'n',    'n',    's',    't',
                                     'z',  'z',  0xB1, 0xB1, 0x2013, 0x2013, 0x2212, 0x2212, 0};
constexpr float kDirectionPx = 28.0F;      // what to do is read from 1.5 m, like the line under the figure
constexpr float kLargestGlyphPx = 440.0F;  // in device pixels; larger figures are drawn a little softer

ImFont* add(std::span<const std::uint8_t> face, float css_px, float pixel_ratio, const ImWchar* glyphs) {
  ImFontConfig config;
  config.FontDataOwnedByAtlas = false;
  config.OversampleH = 1;  // drawn at the device's own pixels already
  config.OversampleV = 1;
  config.PixelSnapH = true;
  const float device_px = std::min(std::round(css_px * pixel_ratio), kLargestGlyphPx);
  void* data = const_cast<std::uint8_t*>(face.data());  // ImGui only reads it
  ImFont* font =
      ImGui::GetIO().Fonts->AddFontFromMemoryTTF(data, static_cast<int>(face.size()), device_px, &config, glyphs);
  font->Scale = css_px / device_px;
  return font;
}

}  // namespace

Fonts make_fonts(const FontSizes& sizes, std::span<const std::uint8_t> regular, std::span<const std::uint8_t> bold) {
  ImFontAtlas& atlas = *ImGui::GetIO().Fonts;
  atlas.Clear();
  atlas.Flags |= ImFontAtlasFlags_NoPowerOfTwoHeight;
  const float text = sizes.text_px, ratio = sizes.pixel_ratio;
  Fonts fonts;
  fonts.text = add(regular, text, ratio, kTextGlyphs);
  fonts.small = add(regular, 0.84F * text, ratio, kTextGlyphs);
  fonts.bold = add(bold, text, ratio, kTextGlyphs);
  fonts.strong = add(bold, std::max(kDirectionPx, 1.4F * text), ratio, kTextGlyphs);
  fonts.reading = add(bold, sizes.reading_px, ratio, kFigureGlyphs);
  fonts.figure = add(bold, sizes.figure_px, ratio, kFigureGlyphs);
  atlas.Build();
  return fonts;
}

}  // namespace four76::theme
