// Finger: one finger on the canvas, as Dear ImGui's mouse.
//
// Down is a press at once. When the finger then moves further than a tap may and no item claimed it, the press is taken
// back without a click. Nothing on the canvas scrolls.
#pragma once

#include <imgui.h>

#include <optional>

namespace four76 {

class Finger {
 public:
  void down(ImVec2 at);
  void move(ImVec2 to);
  void up(bool cancelled);
  void follow() {  // an item says that it follows the finger
    if (touch_) touch_->followed = true;
  }

  // Once a frame, after all items: takes the press back where nobody claimed the finger. Answers whether a frame is
  // wanted.
  bool settle();

 private:
  struct Touch {
    ImVec2 start, last;
    int frames = 0;  // since it came down
    bool followed = false;
    bool taken_back = false;
  };

  std::optional<Touch> touch_;
};

}  // namespace four76
