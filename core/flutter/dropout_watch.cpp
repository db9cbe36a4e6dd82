#include "core/flutter/dropout_watch.hpp"

#include <algorithm>
#include <cmath>

#include "core/signal/statistics.hpp"

namespace four76 {

namespace {

constexpr double kMeanS = 0.1;
constexpr double kHalf = 0.5;
constexpr double kDeepestDb = 60.0;

std::size_t points_in(double seconds, double point_rate_hz) noexcept {
  return static_cast<std::size_t>(std::max(1.0, std::round(seconds * point_rate_hz)));
}

}  // namespace

void DropoutWatch::Tally::add(const Tally& other) noexcept {
  points += other.points;
  count += other.count;
  deepest_db = std::max(deepest_db, other.deepest_db);
  longest_s = std::max(longest_s, other.longest_s);
}

DropoutWatch::DropoutWatch(const Config& config)
    : point_rate_hz_(config.point_rate_hz),
      smooth_(points_in(kSmoothS, config.point_rate_hz)),
      mean_points_(points_in(kMeanS, config.point_rate_hz)),
      block_points_(points_in(config.window_s / kBlocks, config.point_rate_hz)) {}

void DropoutWatch::reset() noexcept {
  smooth_next_ = smooth_count_ = usual_next_ = usual_count_ = in_mean_ = down_points_ = block_ = in_block_ = 0;
  mean_sum_ = usual_ = 0.0;
  state_ = State::up;
  blocks_.fill({});
  whole_ = {};
}

void DropoutWatch::add(const LevelPoint& point) noexcept {
  const bool valid = point.valid && std::isfinite(point.amplitude);
  pass_time(valid || state_ == State::down);
  if (!valid) {
    smooth_count_ = 0;
    if (state_ == State::down) stay_down();
    return;
  }
  learn(static_cast<double>(point.amplitude));
  smooth_[smooth_next_] = point.amplitude;
  smooth_next_ = smooth_next_ + 1 == smooth_.size() ? 0 : smooth_next_ + 1;
  smooth_count_ = std::min(smooth_count_ + 1, smooth_.size());
  if (smooth_count_ < smooth_.size()) {
    if (state_ == State::down) stay_down();
    return;
  }
  if (usual_count_ < kLeastUsual) return;
  double sum = 0.0;
  for (const float each : smooth_) sum += static_cast<double>(each);
  follow(sum / static_cast<double>(smooth_.size()));
}

void DropoutWatch::learn(double amplitude) noexcept {
  mean_sum_ += amplitude;
  if (++in_mean_ < mean_points_) return;
  usual_means_[usual_next_] = static_cast<float>(mean_sum_ / static_cast<double>(mean_points_));
  usual_next_ = (usual_next_ + 1) % kUsual;
  usual_count_ = std::min(usual_count_ + 1, kUsual);
  mean_sum_ = 0.0;
  in_mean_ = 0;
  std::array<float, kUsual> copy = usual_means_;
  usual_ = static_cast<double>(median_of(std::span(copy).first(usual_count_)));
}

void DropoutWatch::follow(double level) noexcept {
  switch (state_) {
    case State::up:
      if (level >= kHalf * usual_) return;
      state_ = State::down;
      down_from_ = usual_;
      lowest_ = level;
      down_points_ = 0;
      break;
    case State::down:
      stay_down();
      lowest_ = std::min(lowest_, level);
      if (level >= kHalf * down_from_) come_back();
      break;
    case State::gone:
      if (level >= kHalf * usual_) state_ = State::up;
      break;
  }
}

void DropoutWatch::stay_down() noexcept {
  if (static_cast<double>(++down_points_) > kLongestS * point_rate_hz_) state_ = State::gone;
}

void DropoutWatch::come_back() noexcept {
  state_ = State::up;
  // The part of the smoothing that lies in the dropout when the smoothed level crosses half the usual: a half for a
  // deep dropout, more for a shallow one.
  const double crossing = std::min(1.0, (1.0 - kHalf) / (1.0 - std::min(lowest_ / down_from_, kHalf)));
  const double length_s = static_cast<double>(down_points_) / point_rate_hz_ + (2.0 * crossing - 1.0) * kSmoothS;
  const double floor = down_from_ * std::pow(10.0, -kDeepestDb / 20.0);
  const double depth_db = db_of_amplitude(down_from_ / std::max(lowest_, floor));
  if (depth_db < kDepthDb || length_s < kLeastS || length_s > kLongestS) return;
  const Tally one{.points = 0, .count = 1, .deepest_db = depth_db, .longest_s = length_s};
  blocks_[block_].add(one);
  whole_.add(one);
}

void DropoutWatch::pass_time(bool watched) noexcept {
  if (in_block_ == block_points_) {
    in_block_ = 0;
    block_ = (block_ + 1) % kBlocks;
    blocks_[block_] = {};
  }
  ++in_block_;
  if (!watched || usual_count_ < kLeastUsual || state_ == State::gone) return;
  ++blocks_[block_].points;
  ++whole_.points;
}

std::optional<DropoutReading> DropoutWatch::reading(const Tally& tally) const noexcept {
  if (tally.points == 0) return std::nullopt;
  DropoutReading found{.watched_s = static_cast<double>(tally.points) / point_rate_hz_, .count = tally.count};
  found.per_minute = 60.0 * static_cast<double>(tally.count) / found.watched_s;
  if (tally.count == 0) return found;
  found.deepest_db = tally.deepest_db;
  found.longest_s = tally.longest_s;
  return found;
}

std::optional<DropoutReading> DropoutWatch::live() const noexcept {
  Tally sum;
  for (const Tally& block : blocks_) sum.add(block);
  return reading(sum);
}

std::optional<DropoutReading> DropoutWatch::whole() const noexcept { return reading(whole_); }

}  // namespace four76
