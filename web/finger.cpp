#include "web/finger.hpp"

#include <imgui_internal.h>

#include <algorithm>
#include <cfloat>
#include <cmath>

namespace four76 {
namespace {

constexpr float kTapSlopPx = 10.0F;  // a finger that moves less still taps
constexpr int kFramesToClaim = 3;    // an item pressed by a finger has this long to say that it follows it
constexpr double kStillS = 0.1;      // a finger that rested so long before it left does not glide
constexpr double kGlideTimeConstantS = 0.325;
constexpr float kSlowestGlidePxPerS = 20.0F;
constexpr float kNewSpeedShare = 0.3F;  // of the speed's smoothing

// The innermost window under the finger that can scroll.
ImGuiWindow* scrollable_under_pointer() {
  ImGuiWindow* window = ImGui::GetCurrentContext()->HoveredWindow;
  while (window && window->ScrollMax.y <= 0.0F && (window->Flags & ImGuiWindowFlags_ChildWindow))
    window = window->ParentWindow;
  return window;
}

// The pointer leaves before the button comes up, so nothing is clicked.
void take_press_back() {
  ImGuiIO& io = ImGui::GetIO();
  io.AddMousePosEvent(-FLT_MAX, -FLT_MAX);
  io.AddMouseButtonEvent(ImGuiMouseButton_Left, false);
}

}  // namespace

void Finger::scroll_by(float finger_dy) const {
  ImGuiWindow* const window = ImGui::FindWindowByID(window_);
  if (window) ImGui::SetScrollY(window, std::clamp(window->Scroll.y - finger_dy, 0.0F, window->ScrollMax.y));
}

void Finger::down(ImVec2 at, double now_s) {
  glide_px_per_s_ = 0.0F;
  touch_ = Touch{at, at, now_s};
  ImGuiIO& io = ImGui::GetIO();
  io.AddMousePosEvent(at.x, at.y);
  io.AddMouseButtonEvent(ImGuiMouseButton_Left, true);
}

void Finger::move(ImVec2 to, double now_s) {
  if (!touch_) return;
  if (touch_->scrolling) {
    const float dy = to.y - touch_->last.y;
    scroll_by(dy);
    const auto elapsed_s = static_cast<float>(std::max(0.001, now_s - touch_->last_s));
    glide_px_per_s_ += kNewSpeedShare * (dy / elapsed_s - glide_px_per_s_);
  } else if (touch_->followed || touch_->frames < kFramesToClaim) {
    ImGui::GetIO().AddMousePosEvent(to.x, to.y);
  }
  touch_->last = to;
  touch_->last_s = now_s;
}

void Finger::up(bool cancelled, double now_s) {
  if (!touch_) return;
  const Touch touch = *touch_;
  touch_.reset();
  if (touch.scrolling) {  // its press was taken back already
    if (cancelled || now_s - touch.last_s > kStillS) glide_px_per_s_ = 0.0F;
    return;
  }
  if (cancelled) {
    take_press_back();
    return;
  }
  ImGuiIO& io = ImGui::GetIO();
  io.AddMouseButtonEvent(ImGuiMouseButton_Left, false);
  io.AddMousePosEvent(-FLT_MAX, -FLT_MAX);
}

bool Finger::glide(double elapsed_s) {
  if (touch_ || glide_px_per_s_ == 0.0F) return false;
  scroll_by(glide_px_per_s_ * static_cast<float>(elapsed_s));
  glide_px_per_s_ *= static_cast<float>(std::exp(-elapsed_s / kGlideTimeConstantS));
  if (std::abs(glide_px_per_s_) < kSlowestGlidePxPerS) glide_px_per_s_ = 0.0F;
  return glide_px_per_s_ != 0.0F;
}

bool Finger::settle() {
  if (!touch_ || touch_->scrolling || touch_->followed) return false;
  if (++touch_->frames < kFramesToClaim) return true;
  if (std::hypot(touch_->last.x - touch_->start.x, touch_->last.y - touch_->start.y) < kTapSlopPx) return false;
  const ImGuiWindow* const window = scrollable_under_pointer();
  window_ = window ? window->ID : 0;
  touch_->scrolling = true;
  take_press_back();
  scroll_by(touch_->last.y - touch_->start.y);
  return true;
}

}  // namespace four76
