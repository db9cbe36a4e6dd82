// Pace: when to draw the running ribbon. Sixty times a second, so that it glides; where a device does not keep up with
// that (no graphics processor, a slow phone), as often as readings come, which is all that it has to say, and another
// try later.
#pragma once

#include <optional>

namespace four76 {

class Pace {
 public:
  // Once a frame, with the time: whether the next one is wanted at once.
  [[nodiscard]] bool next(double now_s, bool runs) noexcept;

 private:
  std::optional<double> last_s_;
  double step_s_ = 0.0;  // from frame to frame, smoothed
  int frames_ = 0;
  double rests_until_s_ = 0.0, rest_s_ = 20.0;
};

}  // namespace four76
