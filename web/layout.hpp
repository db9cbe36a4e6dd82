// layout: where each view stands on a canvas of a given size, in CSS pixels. Pure arithmetic.
//
// tall: a portrait phone, all views one under the other. low: a landscape phone, two columns. wide: a tablet or
// desktop, the figure and the signal side by side, the ribbon across the whole width. What does not fit is left out,
// the least needed first: zoom, spectrum, quality.
#pragma once

#include <cstdint>

namespace four76 {

struct Rect {
  float x = 0.0F, y = 0.0F, w = 0.0F, h = 0.0F;
  [[nodiscard]] bool empty() const noexcept { return w <= 0.0F || h <= 0.0F; }
  [[nodiscard]] float right() const noexcept { return x + w; }
  [[nodiscard]] float bottom() const noexcept { return y + h; }
  [[nodiscard]] Rect inset(float dx, float dy) const noexcept { return {x + dx, y + dy, w - 2.0F * dx, h - 2.0F * dy}; }
  bool operator==(const Rect&) const = default;
};

enum class Shape : std::uint8_t { tall, low, wide };

struct Layout {
  Shape shape = Shape::tall;
  Rect status, figure, hint, ribbon, quality, spectrum, zoom, trimmer;  // empty where left out
  float text_px = 15.0F;                                                // running text
  float figure_px = 96.0F;                                              // the huge digits
};

// `with_trimmer`: the demo's screw is wanted.
[[nodiscard]] Layout lay_out(float width, float height, bool with_trimmer) noexcept;

}  // namespace four76
