// FadeTurns: what the phase does while the level fades.
//
// A tape's dropout lowers the level and leaves the phase alone. In a live room the direct sound and its echoes cancel
// now and then, and as the wowing tone passes such a null its phase turns by up to half a cycle, one way or the other.
// A machine's wow returns to the same nulls again and again, so that these turns need not cancel: their sum, taken as
// if all went the same way, bounds what they do to the mean (derived; on simulated rooms the error lies within it in 95
// of 100 cases).
#pragma once

#include <array>
#include <cstddef>

#include "core/tone/phase_record.hpp"

namespace four76 {

class FadeTurns {
 public:
  void reset() noexcept { *this = FadeTurns(); }
  // Takes the newest knot and whether it is faded; gives back the size of the turn, in cycles, of a fade that is now
  // complete with enough knots behind it, else 0.
  [[nodiscard]] double add(const PhaseKnot& knot, bool faded) noexcept;

 private:
  static constexpr std::size_t kSide = 3;
  struct Side {
    std::array<PhaseKnot, kSide> knots{};
    std::size_t count = 0;
    void push(const PhaseKnot& knot) noexcept;
    [[nodiscard]] double speed_hz() const noexcept;
  };
  [[nodiscard]] bool sways() const noexcept;
  void watch_level(const PhaseKnot& knot) noexcept;
  void watch_speed() noexcept;
  [[nodiscard]] double turn_of(double gap_s) const noexcept;
  Side before_, after_;
  double mean_log_ = 0.0, deviation_log_ = 0.0;  // of the level between the fades; mean of the absolute deviation
  double mean_hz_ = 0.0, variance_hz2_ = 0.0;    // of the speed between the fades
  std::size_t levels_ = 0, speeds_ = 0;
  bool fading_ = false;
};

}  // namespace four76
