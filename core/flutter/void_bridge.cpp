#include "core/flutter/void_bridge.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {

using Kind = BridgedPoint::Kind;

VoidBridge::VoidBridge(const Config& config)
    : side_points_(static_cast<std::size_t>(std::ceil(kSideS * config.point_rate_hz))),
      longest_points_(static_cast<std::size_t>(kLongestS * config.point_rate_hz)),
      before_(side_points_),
      held_(longest_points_ + side_points_ + 1) {}

void VoidBridge::reset() noexcept {
  before_next_ = before_count_ = held_count_ = landed_ = 0;
  given_ = false;
}

void VoidBridge::remember(double percent) noexcept {
  before_[before_next_] = percent;
  before_next_ = before_next_ + 1 == before_.size() ? 0 : before_next_ + 1;
  before_count_ = std::min(before_count_ + 1, side_points_);
}

std::span<const BridgedPoint> VoidBridge::add(const DeviationPoint& point) noexcept {
  if (given_) held_count_ = landed_ = 0;
  given_ = false;
  const bool valid = point.valid && std::isfinite(point.percent);
  held_[held_count_++] = {valid ? point.percent : 0.0, valid ? Kind::sound : Kind::filled};
  landed_ = valid ? landed_ + 1 : 0;
  if (held_count_ == 1 && valid) {
    remember(point.percent);
    given_ = true;
  } else if (landed_ == side_points_) {
    land();
  } else if (held_count_ - landed_ > longest_points_ || (!has_side() && landed_ == 0)) {
    give_lost();
  }
  return given_ ? std::span<const BridgedPoint>(held_).first(held_count_) : std::span<const BridgedPoint>{};
}

void VoidBridge::give_lost() noexcept {
  for (std::size_t i = 0; i < held_count_; ++i) held_[i] = {0.0, Kind::lost};
  before_count_ = 0;
  given_ = true;
}

// The void is over: a line through the means of both its sides.
void VoidBridge::land() noexcept {
  const std::size_t gap = held_count_ - landed_;
  double before = 0.0;
  double after = 0.0;
  for (const double each : before_) before += each / static_cast<double>(side_points_);
  for (std::size_t i = gap; i < held_count_; ++i) after += held_[i].percent / static_cast<double>(side_points_);
  const auto side = static_cast<double>(side_points_);
  const double slope = (after - before) / (static_cast<double>(gap) + side);
  for (std::size_t i = 0; i < gap; ++i)
    held_[i] = {before + slope * (0.5 * (side + 1.0) + static_cast<double>(i)), Kind::filled};
  for (std::size_t i = gap; i < held_count_; ++i) remember(held_[i].percent);
  given_ = true;
}

}  // namespace four76
