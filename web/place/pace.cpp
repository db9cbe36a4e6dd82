#include "web/place/pace.hpp"

#include <algorithm>

namespace four76 {

namespace {
constexpr double kSlowestStepS = 1.0 / 40.0;  // below it the eye sees steps all the same, and they cost
constexpr double kShare = 0.1;
constexpr double kLongestStepS = 0.1;  // a page in the background is no slow device
constexpr int kEnoughFrames = 20;
constexpr double kLongestRestS = 600.0;
}  // namespace

bool Pace::next(double now_s, bool runs) noexcept {
  if (!runs || now_s < rests_until_s_) {
    last_s_.reset();
    frames_ = 0;
    return false;
  }
  if (last_s_) {
    const double step_s = std::clamp(now_s - *last_s_, 0.0, kLongestStepS);
    step_s_ = frames_ == 0 ? step_s : step_s_ + kShare * (step_s - step_s_);
    ++frames_;
  }
  last_s_ = now_s;
  if (frames_ < kEnoughFrames || step_s_ <= kSlowestStepS) return true;
  rests_until_s_ = now_s + rest_s_;
  rest_s_ = std::min(kLongestRestS, 2.0 * rest_s_);
  return false;
}

}  // namespace four76
