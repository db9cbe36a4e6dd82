// RibbonScale: where things stand on the ribbon. Pure arithmetic.
//
// The tape's edges are the tolerance. A line that leaves the tape stays in sight: the scale widens in steps, which are
// labelled, and the tape becomes narrower.
#pragma once

#include <array>
#include <span>
#include <string_view>

#include "core/tone/tone_session.hpp"
#include "web/place/layout.hpp"

namespace four76::draw {

inline constexpr double kRibbonSpanS = 30.0;

struct RibbonContent {
  std::span<const TrailPoint> trail;  // oldest first
  std::span<const TraceRange> raw;    // a band beside the line, likewise; empty where none is shown
  std::string_view span_name;         // what is written, in words
  double now_s = 0.0;                 // where the head is
  double tolerance_percent = 0.5;
  bool writing = false;  // the head writes now: the newest point is shown as its pen
};

// The drawn range either side of the right speed, percent.
inline constexpr std::array kRibbonRanges_percent = {1.0, 2.0, 3.0, 5.0, 10.0, 20.0};

struct RibbonScale {
  Rect area;                             // all that may be drawn on
  float head_x = 0.0F;                   // the newest point
  float tail_x = 0.0F;                   // half a minute ago
  float centre_y = 0.0F, half_h = 0.0F;  // of the strip
  double now_s = 0.0, tolerance_percent = 0.5;
  double range_percent = 0.9;  // at the area's upper edge
  bool widened = false;        // beyond what shows the tape at its usual width

  [[nodiscard]] float x(double time_s) const noexcept;
  [[nodiscard]] float y(double percent) const noexcept;          // not clamped
  [[nodiscard]] float y_on_area(double percent) const noexcept;  // clamped to what may be drawn on
  [[nodiscard]] bool off_area(double percent) const noexcept;
};
[[nodiscard]] RibbonScale ribbon_scale(const RibbonContent& content, Rect area) noexcept;

// True where a line may join two neighbours: both measured, and nothing missing between them.
[[nodiscard]] bool joined(const TrailPoint& before, const TrailPoint& after) noexcept;

}  // namespace four76::draw
