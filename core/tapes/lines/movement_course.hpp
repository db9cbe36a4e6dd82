// MovementCourse: the newest seconds of a machine's relative movement, added up.
//
//   M(t) = sum of the steps up to t,  a straight line between two points;  speed(t) = speed(0) exp(M(t))
//
// Only differences of M mean anything. Errors of the steps add up, so M is good over seconds, not over minutes.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "core/tapes/machine_movement.hpp"

namespace four76 {

class MovementCourse {
 public:
  explicit MovementCourse(double length_s);

  // Points come in the order of their time. One that is not finite counts as no movement.
  void push(const MovementPoint& point) noexcept;

  [[nodiscard]] std::optional<double> newest_s() const noexcept;
  [[nodiscard]] bool covers(double from_s, double to_s) const noexcept;
  // M at that time, relative to an arbitrary start; the nearest end's value outside of what is kept.
  [[nodiscard]] double at(double time_s) const noexcept;
  // Variance of the movement from one time to a later one, had each step an error of its own.
  [[nodiscard]] double variance(double from_s, double to_s) const noexcept;

 private:
  struct Knot {
    double time_s = 0.0, movement = 0.0, variance = 0.0;
  };
  [[nodiscard]] const Knot& knot(std::size_t age) const noexcept;  // 0: the newest
  [[nodiscard]] Knot between(double time_s) const noexcept;

  std::vector<Knot> ring_;
  std::size_t next_ = 0, count_ = 0;
};

}  // namespace four76
