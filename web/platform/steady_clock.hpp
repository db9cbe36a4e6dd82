// SteadyClock: seconds that never go back. A clock that jumps back (a device that slept, a browser that sets its own)
// goes on from where it stood; a jump ahead is time that passed.
#pragma once

#include <algorithm>

namespace four76 {

class SteadyClock {
 public:
  double tell(double told_s) noexcept {
    now_s_ += std::max(0.0, told_s - told_s_);
    told_s_ = told_s;
    return now_s_;
  }

 private:
  double told_s_ = 0.0, now_s_ = 0.0;
};

}  // namespace four76
