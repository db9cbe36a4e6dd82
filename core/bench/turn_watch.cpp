#include "core/bench/turn_watch.hpp"

#include <algorithm>
#include <cmath>
#include <span>

#include "core/signal/statistics.hpp"

namespace four76 {
namespace {

constexpr double kSigmasMoving = 4.0, kSigmasChanged = 3.0, kSigmasStill = 4.0;
constexpr double kOfMedian = 1.4826;  // a normal's sigma over the median of its size (derived)
constexpr double kCameBack = 0.15;    // of the farthest that it got: nearer than that to where it began, it came back
constexpr std::size_t kOnset = 6;     // readings: what the dial's window of 0.36 s may hold of a movement
constexpr double kReadings_per_s = 20.0;
constexpr double kIndependent_per_s = 1.0 / 0.4;  // means of 0.4 s

}  // namespace

void TurnWatch::reset() noexcept { *this = TurnWatch(); }

void TurnWatch::begin_anew(double time_s) noexcept {
  count_ = settled_count_ = 0;
  state_ = TurnState::learning;
  grows_ = false;
  last_time_s_ = time_s;
}

double TurnWatch::mean(std::size_t newest_left_out, std::size_t count) const noexcept {
  double sum = 0.0;
  for (std::size_t i = 0; i < count; ++i) sum += percent_[(count_ + 2 * kMost - 1 - newest_left_out - i) % kMost];
  return sum / static_cast<double>(count);
}

double TurnWatch::threshold(double level_u95) const noexcept {
  return std::max(kLeastPercent, kSigmasMoving * std::hypot(usual_, level_u95 / 1.96));
}

void TurnWatch::learn(double departure) noexcept { departures_[learned_++ % kMost] = std::abs(departure); }

void TurnWatch::find_usual() noexcept {
  const std::size_t count = std::min(learned_, kMost);
  if (count == 0) return;
  std::copy_n(departures_.begin(), count, scratch_.begin());
  usual_ = kOfMedian * median_of(std::span(scratch_).first(count));
}

// The first seconds, all together: means of 0.4 s against the mean of all.
void TurnWatch::learn_at_once() noexcept {
  const double all = mean(0, kLearned);
  for (std::size_t i = 0; i + kShort <= kLearned; ++i) learn(mean(i, kShort) - all);
  find_usual();
}

SettledSpeed TurnWatch::speed_of(std::size_t newest_left_out, std::size_t count) const noexcept {
  SettledSpeed speed;
  speed.percent = mean(newest_left_out, count);
  speed.span_s = static_cast<double>(count) / kReadings_per_s;
  const double independent = std::max(1.0, speed.span_s * kIndependent_per_s);
  speed.u95_percent = std::hypot(1.96 * usual_ / std::sqrt(independent), noise_u95_);
  return speed;
}

std::optional<SettledSpeed> TurnWatch::level() const noexcept {
  if (state_ != TurnState::settled) return std::nullopt;
  return speed_of(0, settled_count_);
}

bool TurnWatch::stands_still() const noexcept {
  double low = mean(0, kShort), high = low;
  for (std::size_t i = 1; i + kShort <= kSettled; ++i) {
    const double each = mean(i, kShort);
    low = std::min(low, each);
    high = std::max(high, each);
  }
  return high - low < std::max(kLeastPercent, kSigmasStill * usual_);
}

void TurnWatch::watch_settled(double time_s) noexcept {
  settled_count_ = std::min(settled_count_ + 1, kMost);
  // The level from before what may be the movement's beginning.
  const std::size_t known = settled_count_ > kShort + kOnset ? settled_count_ - kShort - kOnset : 0;
  if (known < kShort) return;
  const SettledSpeed before = speed_of(kShort + kOnset, known);
  const double departure = mean(0, kShort) - before.percent;
  if (std::abs(departure) > threshold(before.u95_percent)) {
    const bool goes_on = last_ && last_->stayed && time_s - last_->settled_s < kSameTurnS;
    went_on_ = goes_on;
    from_ = goes_on ? last_->from : before;
    began_s_ = goes_on ? last_->began_s : time_s - static_cast<double>(kShort) / kReadings_per_s;
    peak_ = mean(0, kShort) - from_.percent;
    state_ = TurnState::moving;
    return;
  }
  learn(departure);
  find_usual();
  if (grows_ && last_->stayed && time_s - last_->settled_s < static_cast<double>(kMost) / kReadings_per_s)
    last_->to = speed_of(0, settled_count_);
}

bool TurnWatch::settle(double time_s) noexcept {
  state_ = TurnState::settled;
  settled_count_ = kSettledNewest;  // what came before may be the movement's last
  const SettledSpeed now = speed_of(0, kSettledNewest);
  const double least = std::max({kLeastPercent, kSigmasChanged * usual_, kCameBack * std::abs(peak_)});
  const bool changed = std::abs(now.percent - from_.percent) > least;
  if (!changed && std::abs(peak_) < std::max(kJumpPercent, 2.0 * threshold(from_.u95_percent))) return false;
  last_ = Turn{began_s_, time_s, from_, now, changed, peak_};
  grows_ = true;
  return true;
}

bool TurnWatch::watch_moving(double time_s) noexcept {
  const double away = mean(0, kShort) - from_.percent;
  if (std::abs(away) > std::abs(peak_)) peak_ = away;
  const double moving_s = time_s - began_s_;
  return moving_s > static_cast<double>(kSettled + kShort) / kReadings_per_s && stands_still() && settle(time_s);
}

bool TurnWatch::add(const Reading& reading) noexcept {
  if (state_ != TurnState::nothing && reading.time_s - last_time_s_ > kLongestGapS) state_ = TurnState::nothing;
  if (reading.status != Status::measured || !reading.speed_error_percent) return false;
  if (state_ == TurnState::nothing) begin_anew(reading.time_s);
  last_time_s_ = reading.time_s;
  noise_u95_ = reading.noise_u95_percent.value_or(0.0);
  percent_[count_++ % kMost] = *reading.speed_error_percent;
  switch (state_) {
    case TurnState::learning:
      if (count_ < kLearned) break;
      learn_at_once();
      if (!stands_still()) break;
      state_ = TurnState::settled;
      settled_count_ = kSettled;
      break;
    case TurnState::settled: watch_settled(reading.time_s); break;
    case TurnState::moving: return watch_moving(reading.time_s);
    case TurnState::nothing: break;
  }
  return false;
}

}  // namespace four76
