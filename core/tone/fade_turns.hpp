// FadeTurns: what the phase does while the level fades.
//
// A tape's dropout lowers the level and leaves the phase alone. In a live room the direct sound and its echoes cancel
// now and then, and as the wowing tone passes such a null its phase turns by up to half a cycle, one way or the other.
// A machine's wow returns to the same nulls again and again, so that these turns need not cancel: their sum, taken as
// if all went the same way, bounds what they do to the mean (derived; on simulated rooms the error lies within it in 95
// of 100 cases).
#pragma once

#include <cstddef>

#include "core/signal/running_deviation.hpp"
#include "core/tone/knot_side.hpp"
#include "core/tone/phase_knot.hpp"

namespace four76 {

class FadeTurns {
 public:
  static constexpr double kMemoryKnots = 400.0;  // of the level and the speed between the fades
  void reset() noexcept { *this = FadeTurns(); }
  // Takes the newest knot and whether it is faded; gives back the size of the turn, in cycles, of a fade that is now
  // complete with enough knots behind it, else 0.
  [[nodiscard]] double add(const PhaseKnot& knot, bool faded) noexcept;

 private:
  [[nodiscard]] bool sways() const noexcept;
  void watch_level(const PhaseKnot& knot) noexcept;
  [[nodiscard]] double turn_of(double gap_s) const noexcept;
  KnotSide<3> before_, after_;
  double mean_log_ = 0.0, deviation_log_ = 0.0;  // of the level between the fades; mean of the absolute deviation
  std::size_t levels_ = 0;
  RunningDeviation speed_hz_{kMemoryKnots};  // between the fades
  bool fading_ = false;
};

}  // namespace four76
