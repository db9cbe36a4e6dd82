#include "core/flutter/start_up.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {

namespace {
constexpr double kBinS = 0.05;
constexpr std::size_t kSmoothed = 5;  // bins
constexpr double kMovesPercent = 0.3, kLeastRoomPercent = 0.1, kRoom = 0.5;
constexpr double kOneWay = 0.95;
}  // namespace

StartUp::StartUp(const Config& config)
    : bin_points_(static_cast<std::size_t>(std::llround(kBinS * config.point_rate_hz))),
      bins_(static_cast<std::size_t>(std::llround(kHoldS / kBinS))),
      judged_bins_(static_cast<std::size_t>(std::llround(kJudgedS / kBinS))),
      longest_points_(static_cast<std::size_t>(std::llround(kLongestS * config.point_rate_hz))),
      held_(bins_ * bin_points_),
      out_(held_.size()),
      means_(bins_) {}

void StartUp::reset() noexcept {
  first_ = count_ = waited_ = until_judged_ = 0;
  open_ = false;
}

std::span<const DeviationPoint> StartUp::add(const DeviationPoint& point) noexcept {
  if (open_) {
    out_[0] = point;
    return {out_.data(), 1};
  }
  ++waited_;
  held_[(first_ + count_++) % held_.size()] = point;
  if (count_ < held_.size()) return {};
  if (until_judged_ == 0) {
    until_judged_ = bin_points_;
    for (std::size_t bin = 0; bin < bins_; ++bin) means_[bin] = mean_of_bin(bin);
    const bool is_settled = settled();
    if (is_settled || waited_ >= longest_points_) {
      if (is_settled) void_what_came_before();
      open_ = true;
      return let_go();
    }
  }
  --until_judged_;
  // Still on its way: the oldest passes as void.
  first_ = (first_ + 1) % held_.size();
  --count_;
  out_[0] = {0.0, false};
  return {out_.data(), 1};
}

std::span<const DeviationPoint> StartUp::flush() noexcept {
  for (std::size_t i = 0; i < count_; ++i) held_[(first_ + i) % held_.size()].valid = false;
  const auto all = let_go();
  reset();
  return all;
}

std::span<const DeviationPoint> StartUp::let_go() noexcept {
  const std::size_t count = count_;
  for (std::size_t i = 0; i < count; ++i) out_[i] = held_[(first_ + i) % held_.size()];
  count_ = 0;
  return {out_.data(), count};
}

// Voids are left out; a bin that is all void reads as the one before it.
double StartUp::mean_of_bin(std::size_t bin) const noexcept {
  double sum = 0.0;
  double points = 0.0;
  for (std::size_t i = bin * bin_points_; i < (bin + 1) * bin_points_; ++i) {
    const DeviationPoint& point = held_[(first_ + i) % held_.size()];
    if (!point.valid) continue;
    sum += point.percent;
    points += 1.0;
  }
  if (points > 0.0) return sum / points;
  return bin > 0 ? means_[bin - 1] : 0.0;
}

bool StartUp::settled() const noexcept {
  const auto smooth = [&](std::size_t bin) {
    double sum = 0.0;
    for (std::size_t i = 0; i < kSmoothed; ++i) sum += means_[bin + i] / static_cast<double>(kSmoothed);
    return sum;
  };
  const std::size_t from = bins_ - judged_bins_;
  const std::size_t to = bins_ - kSmoothed;
  if (std::abs(smooth(to) - smooth(from)) < kMovesPercent) return true;
  std::size_t up = 0;
  std::size_t down = 0;
  for (std::size_t bin = from; bin < to; ++bin) {
    up += smooth(bin + 1) > smooth(bin);
    down += smooth(bin + 1) < smooth(bin);
  }
  return static_cast<double>(std::max(up, down)) < kOneWay * static_cast<double>(to - from);
}

void StartUp::void_what_came_before() noexcept {
  const auto judged = means_.end() - static_cast<std::ptrdiff_t>(judged_bins_);
  const auto [lowest, highest] = std::minmax_element(judged, means_.end());
  const double room = std::max(kLeastRoomPercent, kRoom * (*highest - *lowest));
  std::size_t bin = bins_ - judged_bins_;
  while (bin > 0 && means_[bin - 1] >= *lowest - room && means_[bin - 1] <= *highest + room) --bin;
  for (std::size_t i = 0; i < bin * bin_points_; ++i) held_[(first_ + i) % held_.size()].valid = false;
}

}  // namespace four76
