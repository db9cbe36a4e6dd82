#include "web/place/finger.hpp"

#include <cfloat>
#include <cmath>

namespace four76 {
namespace {

constexpr float kTapSlopPx = 10.0F;  // a finger that moves less still taps
constexpr int kFramesToClaim = 3;    // an item pressed by a finger has this long to say that it follows it

// The pointer leaves before the button comes up, so nothing is clicked.
void take_press_back() {
  ImGuiIO& io = ImGui::GetIO();
  io.AddMousePosEvent(-FLT_MAX, -FLT_MAX);
  io.AddMouseButtonEvent(ImGuiMouseButton_Left, false);
}

}  // namespace

void Finger::down(ImVec2 at) {
  touch_ = Touch{at, at};
  ImGuiIO& io = ImGui::GetIO();
  io.AddMousePosEvent(at.x, at.y);
  io.AddMouseButtonEvent(ImGuiMouseButton_Left, true);
}

void Finger::move(ImVec2 to) {
  if (!touch_) return;
  touch_->last = to;
  if (!touch_->taken_back && (touch_->followed || touch_->frames < kFramesToClaim))
    ImGui::GetIO().AddMousePosEvent(to.x, to.y);
}

void Finger::up(bool cancelled) {
  if (!touch_) return;
  const bool taken_back = touch_->taken_back;
  touch_.reset();
  if (taken_back) return;
  if (cancelled) {
    take_press_back();
    return;
  }
  ImGuiIO& io = ImGui::GetIO();
  io.AddMouseButtonEvent(ImGuiMouseButton_Left, false);
  io.AddMousePosEvent(-FLT_MAX, -FLT_MAX);
}

bool Finger::settle() {
  if (!touch_ || touch_->taken_back || touch_->followed) return false;
  if (++touch_->frames < kFramesToClaim) return true;
  if (std::hypot(touch_->last.x - touch_->start.x, touch_->last.y - touch_->start.y) < kTapSlopPx) return false;
  touch_->taken_back = true;
  take_press_back();
  return true;
}

}  // namespace four76
