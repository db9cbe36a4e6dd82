#include "core/flutter/drift.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "core/signal/statistics.hpp"

namespace four76 {

namespace {

constexpr std::size_t kLeastBlocks = 5;
constexpr double kMostCorrelation = 0.9;

struct Line {
  double mean_s = 0.0, mean_percent = 0.0, percent_per_s = 0.0;
  double points = 0.0, spread = 0.0;  // sum of the weights, and of them times squared time from the mean
  [[nodiscard]] double residual(const DriftBlock& block) const noexcept {
    return block.percent - mean_percent - percent_per_s * (block.time_s - mean_s);
  }
};

Line least_squares(std::span<const DriftBlock> blocks) noexcept {
  Line line;
  for (const DriftBlock& each : blocks) {
    line.points += each.points;
    line.mean_s += each.points * each.time_s;
    line.mean_percent += each.points * each.percent;
  }
  line.mean_s /= line.points;
  line.mean_percent /= line.points;
  double product = 0.0;
  for (const DriftBlock& each : blocks) {
    const double away_s = each.time_s - line.mean_s;
    line.spread += each.points * away_s * away_s;
    product += each.points * away_s * (each.percent - line.mean_percent);
  }
  line.percent_per_s = line.spread > 0.0 ? product / line.spread : 0.0;
  return line;
}

}  // namespace

std::optional<Drift> fit_drift(std::span<const DriftBlock> blocks) noexcept {
  if (blocks.size() < kLeastBlocks) return std::nullopt;
  const Line line = least_squares(blocks);
  if (!(line.spread > 0.0)) return std::nullopt;
  double squares = 0.0;  // weighted
  double power = 0.0;
  double neighbours = 0.0;
  double before = 0.0;
  for (const DriftBlock& each : blocks) {
    const double residual = line.residual(each);
    squares += each.points * residual * residual;
    power += residual * residual;
    neighbours += residual * before;
    before = residual;
  }
  const double freedom = static_cast<double>(blocks.size()) - 2.0;
  const double correlation = power > 0.0 ? std::clamp(neighbours / power, 0.0, kMostCorrelation) : 0.0;
  const double widening = std::sqrt((1.0 + correlation) / (1.0 - correlation));
  const double sigma = std::sqrt(squares / freedom / line.spread) * widening;
  return Drift{60.0 * line.percent_per_s, 60.0 * student_t95(freedom) * sigma};
}

DriftRecord::DriftRecord(const Config& config)
    : point_rate_hz_(config.point_rate_hz),
      newest_blocks_(config.newest_blocks),
      block_points_(static_cast<std::size_t>(std::llround(config.point_rate_hz))),
      first_block_points_(block_points_),
      blocks_(kCapacity) {
  assert(newest_blocks_ < kCapacity && "the window fits the record");
}

void DriftRecord::reset() noexcept {
  size_ = passed_ = 0;
  filling_ = {};
  time_points_ = 0.0;
  block_points_ = first_block_points_;
}

void DriftRecord::add(double percent, bool sound) noexcept {
  if (sound) {
    filling_.time_s += time_points_ / point_rate_hz_;
    filling_.percent += percent;
    filling_.points += 1.0;
  }
  time_points_ += 1.0;
  if (++passed_ < block_points_) return;
  passed_ = 0;
  store();
  filling_ = {};
}

void DriftRecord::store() noexcept {
  if (newest_blocks_ != 0) forget_before(time_points_ / point_rate_hz_ - static_cast<double>(newest_blocks_));
  // A block mostly void would weigh little and scatter much.
  const double n = filling_.points;
  if (n < 0.25 * static_cast<double>(block_points_)) return;
  blocks_[size_++] = {filling_.time_s / n, filling_.percent / n, n};
  if (size_ == kCapacity) merge_pairs();
}

// By time, so that they age while all is void as well.
void DriftRecord::forget_before(double oldest_s) noexcept {
  std::size_t old = 0;
  while (old < size_ && blocks_[old].time_s < oldest_s) ++old;
  std::move(blocks_.begin() + static_cast<std::ptrdiff_t>(old), blocks_.begin() + static_cast<std::ptrdiff_t>(size_),
            blocks_.begin());
  size_ -= old;
}

void DriftRecord::merge_pairs() noexcept {
  for (std::size_t i = 0; i < size_ / 2; ++i) {
    const DriftBlock& a = blocks_[2 * i];
    const DriftBlock& b = blocks_[2 * i + 1];
    const double n = a.points + b.points;
    blocks_[i] = {(a.points * a.time_s + b.points * b.time_s) / n, (a.points * a.percent + b.points * b.percent) / n,
                  n};
  }
  size_ /= 2;
  block_points_ *= 2;
}

}  // namespace four76
