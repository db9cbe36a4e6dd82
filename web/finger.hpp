// Finger: one finger on the canvas, as Dear ImGui's mouse, and as scrolling where no item follows it.
//
// Down is a press at once. When the finger then moves further than a tap may and no item claimed it, the press is taken
// back without a click and the window under it scrolls, gliding on when the finger leaves in motion.
#pragma once

#include <imgui.h>

#include <optional>

namespace four76 {

class Finger {
 public:
  void down(ImVec2 at, double now_s);
  void move(ImVec2 to, double now_s);
  void up(bool cancelled, double now_s);
  void follow() {  // an item says that it follows the finger
    if (touch_) touch_->followed = true;
  }

  // Once a frame, before ImGui::NewFrame: goes on gliding. Answers whether it still glides.
  bool glide(double elapsed_s);
  // Once a frame, after all items: starts to scroll where nobody claimed the finger. Answers whether a frame is wanted.
  bool settle();

 private:
  struct Touch {
    ImVec2 start, last;
    double last_s = 0.0;
    int frames = 0;  // since it came down
    bool followed = false;
    bool scrolling = false;
  };

  void scroll_by(float finger_dy) const;

  std::optional<Touch> touch_;
  ImGuiID window_ = 0;           // that scrolls
  float glide_px_per_s_ = 0.0F;  // of the finger, after it left while scrolling
};

}  // namespace four76
