// paper: what views draw with: text that fits where it must, panels, buttons and the small shapes that say what colour
// alone must not. Coordinates are CSS pixels on the canvas.
#pragma once

#include <imgui.h>

#include <string_view>

#include "web/draw/drawn_controls.hpp"
#include "web/draw/theme.hpp"
#include "web/place/layout.hpp"

namespace four76::draw {

struct Paper {
  ImDrawList& list;
  const theme::Fonts& fonts;
  const theme::Colours& ink;
  DrawnControls& controls;  // what can be pressed, for the page's buttons
  bool narrow = false;      // large text on a phone: see kNarrowWidth
};

enum class Align { left, centre, right };

// An ImFont's size as it appears, in CSS pixels.
[[nodiscard]] float size_of(const ImFont* font);
[[nodiscard]] ImVec2 extent(const ImFont* font, float size, std::string_view text);

// One line, at the top of the rectangle, made smaller where it would not fit its width. Returns its height.
float line(const Paper& paper, const ImFont* font, ImU32 colour, Rect area, std::string_view text,
           Align align = Align::left);
// Wrapped text from the top of the rectangle, made smaller where it would not fit. Returns its height.
float paragraph(const Paper& paper, const ImFont* font, ImU32 colour, Rect area, std::string_view text);
// The height that paragraph() would take without being made smaller.
[[nodiscard]] float paragraph_height(const ImFont* font, float width, std::string_view text);

void panel(const Paper& paper, Rect area);

// A button with its label; true when pressed. `filled` for the one main thing to do.
bool button(const Paper& paper, const char* id, Rect area, std::string_view label, bool filled = false);
// True when the area is tapped, or the page's button over it is pressed; nothing is drawn. `name` is what a screen
// reader says of it.
bool tapped(const Paper& paper, const char* id, Rect area, std::string_view name,
            DrawnControl::Kind kind = DrawnControl::Kind::button);

enum class Mark { none, down, up, tick, dots, alert, hub };
// A mark about the centre, within the radius.
void mark(const Paper& paper, Mark what, ImVec2 centre, float radius, ImU32 colour);

}  // namespace four76::draw
