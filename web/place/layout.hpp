// layout: where each view stands on a canvas of a given size, in CSS pixels. Pure arithmetic.
//
// tall: a portrait phone, all views one under the other. low: a landscape phone, two columns. wide: a tablet or
// desktop, the figure and the signal side by side, the ribbon across the whole width. What does not fit is left out,
// the least needed first: budget, zoom, spectrum, quality.
//
// Where the person has the page's text larger, the canvas is drawn as much larger (shell/text_size.js): a phone's is
// then fewer of these pixels wide than any screen. There each row has the height that it needs, and the page scrolls.
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

// What there is to show: ways to begin, a signal, a signal and the demo's screw, a signal's wow and flutter,
// a song that is the test tape, or how a tape's file runs along it.
enum class Stage : std::uint8_t { start, signal, demo, flutter, song, match };
enum class Shape : std::uint8_t { tall, low, wide };

struct Layout {
  Shape shape = Shape::tall;
  Rect status, figure, hint, ribbon, quality, spectrum, zoom, budget, trimmer, start;  // empty where left out
  Rect flutter, causes, rates, measure;  // wow and flutter: figures, where from, spectrum, half a minute
  Rect song, alignment;                  // the song bench: what to do and what is known; a tape along its song
  float text_px = 15.0F;                 // running text
  float reading_px = 30.0F;              // the line under them
  float foot_px = 60.0F;                 // the height of what is under them
  float figure_px = 96.0F;               // the huge digits
};

[[nodiscard]] Layout lay_out(float width, float height, Stage stage) noexcept;

// Below this width a view stacks what else stands side by side; no screen of 320 px and more comes to it but by
// large text.
inline constexpr float kNarrowWidth = 290.0F;
// What a canvas of this width wants to be high where the page may scroll.
[[nodiscard]] float least_height(float width, Stage stage) noexcept;

}  // namespace four76
