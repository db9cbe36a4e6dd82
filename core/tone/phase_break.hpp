// PhaseBreak: finds within milliseconds where samples were lost, from the track's points.
//
// A fixed antisymmetric kernel over 21 points, the middle five left out for the filters' own width, estimates a step c
// in a + b t + c (t > 0) by least squares: constant, slope and every even bend drop out, so that wow and the onset of a
// turn of the screw leave it alone, and flutter leaves little. A break is a local maximum well above what the kernel
// usually reads here, which is followed as its running RMS.
#pragma once

#include <array>
#include <cstddef>

#include "core/tone/tone_track.hpp"

namespace four76 {

class PhaseBreak {
 public:
  PhaseBreak() noexcept;
  void reset() noexcept;
  // True where a break lies at most kReach points before this one.
  bool add(const TrackPoint& point) noexcept;

 private:
  static constexpr std::size_t kReach = 10;
  static constexpr std::size_t kSkip = 2;
  static constexpr std::size_t kSize = 2 * kReach + 1;
  [[nodiscard]] double step_cycles() const noexcept;

  std::array<double, kSize> kernel_{};
  std::array<double, kSize> phases_{};  // a ring
  std::size_t next_ = 0, count_ = 0;
  double phase_ = 0.0, last_predicted_ = 0.0, last_residual_ = 0.0;
  double mean_square_ = 0.0, before_ = 0.0, now_ = 0.0;  // newest two magnitudes
  std::size_t judged_ = 0;
  std::size_t hold_ = 0;  // points until the next break may be found
};

}  // namespace four76
