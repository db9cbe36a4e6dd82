#include "core/tapes/lines/movement_course.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {

namespace {
constexpr double kMaxStep = 0.05;   // derived: 5 % in 43 ms is a jump to another part, no movement of a machine
constexpr double kMaxSigma = 0.05;  // a step that is not known
}  // namespace

MovementCourse::MovementCourse(double length_s)
    : ring_(static_cast<std::size_t>(std::ceil(length_s / kMovementStep_s)) + 2) {}

void MovementCourse::push(const MovementPoint& point) noexcept {
  if (!std::isfinite(point.time_s) || (count_ > 0 && point.time_s <= knot(0).time_s)) return;
  Knot next{point.time_s, 0.0, 0.0};
  if (count_ > 0) {
    const bool known = std::isfinite(point.step) && std::abs(point.step) < kMaxStep;
    const double sigma =
        known && std::isfinite(point.step_sigma) ? std::clamp(point.step_sigma, 0.0, kMaxSigma) : kMaxSigma;
    next.movement = knot(0).movement + (known ? point.step : 0.0);
    next.variance = knot(0).variance + sigma * sigma;
  }
  ring_[next_] = next;
  next_ = (next_ + 1) % ring_.size();
  count_ = std::min(count_ + 1, ring_.size());
}

std::optional<double> MovementCourse::newest_s() const noexcept {
  if (count_ == 0) return std::nullopt;
  return knot(0).time_s;
}

bool MovementCourse::covers(double from_s, double to_s) const noexcept {
  return count_ > 1 && knot(count_ - 1).time_s <= from_s && knot(0).time_s >= to_s;
}

double MovementCourse::at(double time_s) const noexcept { return count_ == 0 ? 0.0 : between(time_s).movement; }

double MovementCourse::variance(double from_s, double to_s) const noexcept {
  return count_ == 0 ? 0.0 : std::max(0.0, between(to_s).variance - between(from_s).variance);
}

const MovementCourse::Knot& MovementCourse::knot(std::size_t age) const noexcept {
  return ring_[(next_ + ring_.size() - 1 - age) % ring_.size()];
}

MovementCourse::Knot MovementCourse::between(double time_s) const noexcept {
  if (time_s >= knot(0).time_s) return knot(0);
  if (time_s <= knot(count_ - 1).time_s) return knot(count_ - 1);
  std::size_t newer = 0, older = count_ - 1;
  while (older - newer > 1) {
    const std::size_t middle = (older + newer) / 2;
    (knot(middle).time_s > time_s ? newer : older) = middle;
  }
  const Knot &a = knot(older), &b = knot(newer);
  const double part = (time_s - a.time_s) / (b.time_s - a.time_s);
  return {time_s, std::lerp(a.movement, b.movement, part), std::lerp(a.variance, b.variance, part)};
}

}  // namespace four76
