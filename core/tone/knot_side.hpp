// KnotSide: the few knots on one side of a gap, and how fast the tone runs there; and what wow may do within the gap.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>

#include "core/tone/phase_knot.hpp"

namespace four76 {

template <std::size_t kMost>
class KnotSide {
 public:
  // Drops the oldest where it is full, and all of them where the phase does not carry on to this one.
  void push(const PhaseKnot& knot) noexcept {
    if (count_ > 0 && knots_[0].segment != knot.segment) count_ = 0;
    if (count_ == kMost) {
      std::move(knots_.begin() + 1, knots_.end(), knots_.begin());
      --count_;
    }
    knots_[count_++] = knot;
  }
  void clear() noexcept { count_ = 0; }
  [[nodiscard]] bool full() const noexcept { return count_ == kMost; }
  // At least one has come.
  [[nodiscard]] const PhaseKnot& oldest() const noexcept { return knots_[0]; }
  [[nodiscard]] const PhaseKnot& newest() const noexcept { return knots_[count_ - 1]; }
  // At least two have.
  [[nodiscard]] bool has_speed() const noexcept { return count_ > 1; }
  [[nodiscard]] double speed_hz() const noexcept {
    return (newest().phase_cycles - oldest().phase_cycles) / (newest().time_s - oldest().time_s);
  }

 private:
  std::array<PhaseKnot, kMost> knots_{};
  std::size_t count_ = 0;
};

// How far, as a standard deviation, the phase across a gap may lie from what the mean of the speeds on both sides says,
// where the speed deviates by so much: of wow's deviation, linear interpolation over 50 ms leaves a half unexplained
// (derived: a capstan's 8 Hz, curvature (2 pi 8 Hz)^2 (50 ms)^2 / 12 = 0.53), and all of it from 100 ms on.
[[nodiscard]] inline double unexplained_cycles(double gap_s, double deviation_hz) noexcept {
  constexpr double kUnexplained = 0.5;
  constexpr double kUnexplainedAtS = 0.05;
  return gap_s * deviation_hz * kUnexplained * std::min(2.0, gap_s / kUnexplainedAtS);
}

}  // namespace four76
