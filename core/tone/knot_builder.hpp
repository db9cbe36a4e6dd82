// KnotBuilder: sums the track's points to knots.
#pragma once

#include <array>
#include <cstddef>
#include <span>

#include "core/tone/phase_break.hpp"
#include "core/tone/phase_knot.hpp"
#include "core/tone/tone_track.hpp"

namespace four76 {

class KnotBuilder {
 public:
  explicit KnotBuilder(double point_rate_hz);
  void reset() noexcept;
  // True when a knot is complete: read it with knot(), and its points' in-phase parts with in_phase().
  bool add(const TrackPoint& point) noexcept;
  [[nodiscard]] const PhaseKnot& knot() const noexcept { return knot_; }
  [[nodiscard]] std::span<const float> in_phase() const noexcept { return {in_phase_.data(), points_per_knot_}; }
  [[nodiscard]] double knot_s() const noexcept { return knot_s_; }

 private:
  static constexpr std::size_t kMostPoints = 24;
  std::size_t points_per_knot_;
  double knot_s_;
  std::size_t count_ = 0;
  std::array<TrackPoint, kMostPoints> points_{};
  std::array<float, kMostPoints> in_phase_{};
  PhaseKnot knot_;
  PhaseBreak break_;
  bool broken_ = false;
  [[nodiscard]] double unwrap_points() noexcept;
  double last_residual_cycles_ = 0.0, last_unwrapped_cycles_ = 0.0, point_cycles_ = 0.0;
  bool has_last_ = false, was_clear_ = false;
};

}  // namespace four76
