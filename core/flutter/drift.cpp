#include "core/flutter/drift.hpp"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>

#include "core/signal/statistics.hpp"

namespace four76 {

namespace {

constexpr std::size_t kLeastBlocks = 5;
constexpr double kMostCorrelation = 0.9;
constexpr std::size_t kJumpBlocks = 3;
constexpr double kLeastJump_percent = 0.15, kJumpOverUsual = 6.0, kJumpOverNear = 3.0;

double median_of_three(std::span<const DriftBlock> blocks) noexcept {
  const double a = blocks[0].percent, b = blocks[1].percent, c = blocks[2].percent;
  return std::max(std::min(a, b), std::min(std::max(a, b), c));
}

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

// How far apart the medians of three blocks before and after the i-th's beginning lie; nothing too near the ends.
std::optional<double> step_at(std::span<const DriftBlock> blocks, std::size_t i) noexcept {
  if (i < kJumpBlocks || i + kJumpBlocks > blocks.size()) return std::nullopt;
  return std::abs(median_of_three(blocks.subspan(i)) - median_of_three(blocks.subspan(i - kJumpBlocks)));
}

double usual_step(std::span<const DriftBlock> blocks) noexcept {
  std::array<double, DriftRecord::kCapacity> steps{};
  for (std::size_t i = 1; i < blocks.size(); ++i) steps[i - 1] = std::abs(blocks[i].percent - blocks[i - 1].percent);
  const auto end = steps.begin() + static_cast<std::ptrdiff_t>(blocks.size() - 1);
  const auto middle = steps.begin() + static_cast<std::ptrdiff_t>((blocks.size() - 1) / 2);
  std::nth_element(steps.begin(), middle, end);
  return *middle;
}

bool is_sudden(std::span<const DriftBlock> blocks, std::size_t i) noexcept {
  const double here = step_at(blocks, i).value_or(0.0);
  bool alone = true;
  for (std::size_t away = kJumpBlocks; away <= 2 * kJumpBlocks; ++away)
    for (const std::size_t there : {i - std::min(i, away), i + away}) {
      const auto step = step_at(blocks, there);
      if (step && *step <= here / kJumpOverNear) return true;
      alone = alone && !step;
    }
  return alone;
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
  return Drift{60.0 * line.percent_per_s, 60.0 * student_t95(freedom) * sigma,
               blocks.back().time_s - blocks.front().time_s};
}

std::span<const DriftBlock> since_last_jump(std::span<const DriftBlock> blocks) noexcept {
  if (blocks.size() < 2 * kJumpBlocks || blocks.size() > DriftRecord::kCapacity) return blocks;
  const double least = std::max(kLeastJump_percent, kJumpOverUsual * usual_step(blocks));
  for (std::size_t i = blocks.size() - kJumpBlocks; i >= kJumpBlocks; --i)
    if (step_at(blocks, i).value_or(0.0) >= least && is_sudden(blocks, i))
      return blocks.subspan(i + 1);  // the jump may end within the i-th
  return blocks;
}

SettledDrift settled_drift(std::span<const DriftBlock> blocks) noexcept {
  const auto settled = since_last_jump(blocks);
  SettledDrift found{fit_drift(settled), std::nullopt};
  if (settled.size() < blocks.size()) found.since_jump_s = blocks.back().time_s - settled.front().time_s;
  return found;
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
  // A block that is mostly void would weigh little and scatter much: it is left out.
  const double n = filling_.points;
  if (n < 0.25 * static_cast<double>(block_points_)) return;
  blocks_[size_++] = {filling_.time_s / n, filling_.percent / n, n};
  if (size_ == kCapacity) merge_pairs();
}

// By time, not by count: blocks grow old while every point is void, too.
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
