// InputWatch: notices that a running capture delivers no more samples, which no browser reports.
#pragma once

#include <cstdint>

namespace four76 {

class InputWatch {
 public:
  // The longest that a healthy capture keeps silent: blocks come every 0.1 s, and a busy page may hold up a few.
  static constexpr double kPatienceS = 1.0;
  // Opening a device may take longer.
  static constexpr double kFirstPatienceS = 3.0;

  // `frames` counts what arrived since the capture began.
  bool stalled(bool listening, std::uint64_t frames, double now_s) noexcept {
    if (!listening || !listened_ || frames != frames_) heard_s_ = now_s;
    listened_ = listening;
    frames_ = frames;
    return listening && now_s - heard_s_ > (frames == 0 ? kFirstPatienceS : kPatienceS);
  }

 private:
  bool listened_ = false;
  std::uint64_t frames_ = 0;
  double heard_s_ = 0.0;
};

}  // namespace four76
