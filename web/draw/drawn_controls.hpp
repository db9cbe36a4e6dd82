// drawn_controls: what can be pressed on the canvas, for the page, which lays a real button over each one: so the
// keyboard and a screen reader reach what is only drawn (WCAG 2.2, 2.1.1 and 4.1.2).
//
// The views say in each frame what they draw. Nothing is kept or told unless it differs from the frame before.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "web/place/layout.hpp"

namespace four76 {

struct DrawnControl {
  enum class Kind : std::uint8_t { button, off, on, slider };  // off, on: one of several to choose from
  std::string id, name;
  Kind kind = Kind::button;
  Rect area;     // on the canvas, in the drawing's own pixels: CSS pixels, but larger where the text is
  int part = 0;  // which view drew it
};

class DrawnControls {
 public:
  static constexpr double kEveryS = 0.1;  // the page is told no more often

  // The page's button of that name was pressed: the next frame's control answers.
  void press(std::string id) { pressed_ = std::move(id); }

  void begin();       // a frame
  void begin_part();  // a view
  // One is drawn here. True where the page pressed it.
  bool add(std::string_view id, Rect area, std::string_view name, DrawnControl::Kind kind = DrawnControl::Kind::button);
  // The height below which the drawing is cut off, at its width.
  void needs(float height);
  void end();

  // {"height": needed, "controls": [[id, name, kind, x, y, w, h], ...]}, in the order on the screen; nothing where the
  // page knows it already, or was told something else just now: it waits then.
  [[nodiscard]] std::optional<std::string> news(double now_s);
  [[nodiscard]] bool waits() const { return changed_; }

 private:
  std::vector<DrawnControl> controls_;
  std::size_t count_ = 0;  // of this frame so far
  int part_ = 0;
  float height_ = 0.0F;
  std::string pressed_;
  bool changed_ = true;
  double told_s_ = -kEveryS;
};

}  // namespace four76
