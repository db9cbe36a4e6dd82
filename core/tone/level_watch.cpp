#include "core/tone/level_watch.hpp"

#include <algorithm>
#include <cmath>
#include <span>

#include "core/signal/statistics.hpp"

namespace four76 {

namespace {
constexpr double kBlockS = 0.1;
constexpr double kNearDb = 2.5;
constexpr double kDownDb = 8.0;
constexpr double kLowDb = 5.0;
constexpr double kSlowS = 0.3;
constexpr double kStaysDownS = 1.0;
constexpr long kLeastBlocks = 20;
constexpr double kLeastSpreadDb = 1.5;  // standard deviation of the level; a worn tape's own is about 1
constexpr double kLeastSlope = 0.6;
constexpr double kLeastCorrelation = 0.7;
}  // namespace

void LevelWatch::add(double time_s, double amplitude, double noise_power) noexcept {
  if (block_start_s_ < 0.0) block_start_s_ = time_s;
  amplitude_sum_ += amplitude;
  noise_sum_ += noise_power;
  ++knots_;
  if (time_s - block_start_s_ >= kBlockS) end_block(time_s);
}

// The upper quartile of the last ten seconds: dropouts and pumping pull a mean down.
double LevelWatch::usual_db() const noexcept {
  std::array<float, kKept> copy = levels_db_;
  const auto upper = copy.begin() + static_cast<std::ptrdiff_t>((kept_ * 3) / 4);
  std::nth_element(copy.begin(), upper, copy.begin() + static_cast<std::ptrdiff_t>(kept_));
  return static_cast<double>(*upper);
}

void LevelWatch::end_block(double time_s) noexcept {
  const double level_db = db_of_amplitude(std::max(1e-9, amplitude_sum_ / knots_));
  const double noise_db = db_of_power(std::max(1e-18, noise_sum_ / knots_));
  block_start_s_ = -1.0;
  amplitude_sum_ = noise_sum_ = 0.0;
  knots_ = 0;
  levels_db_[next_] = static_cast<float>(level_db);
  next_ = (next_ + 1) % kKept;
  kept_ = std::min(kept_ + 1, kKept);

  ++blocks_;
  sum_a_ += level_db;
  sum_n_ += noise_db;
  sum_aa_ += level_db * level_db;
  sum_nn_ += noise_db * noise_db;
  sum_an_ += level_db * noise_db;
  const double below_db = usual_db() - level_db;
  if (below_db > kLowDb) ++low_blocks_;
  watch_fade(time_s, below_db);
}

void LevelWatch::watch_fade(double time_s, double below_db) noexcept {
  if (below_db < kNearDb) {
    last_high_s_ = time_s;
    slow_fall_s_ = -1.0;
    return;
  }
  if (below_db < kDownDb) return;
  if (slow_fall_s_ < 0.0) {
    if (last_high_s_ >= 0.0 && time_s - last_high_s_ >= kSlowS)
      slow_fall_s_ = time_s;
    else
      last_high_s_ = -1.0;  // it fell at once: a dropout or the end of the tone
  } else if (time_s - slow_fall_s_ > kStaysDownS) {
    ++fades_;
    slow_fall_s_ = -1.0;
    last_high_s_ = -1.0;
  }
}

void LevelWatch::lost() noexcept {
  if (slow_fall_s_ >= 0.0) ++fades_;
  slow_fall_s_ = last_high_s_ = block_start_s_ = -1.0;
  amplitude_sum_ = noise_sum_ = 0.0;
  knots_ = 0;
}

double LevelWatch::low_share() const noexcept {
  return blocks_ == 0 ? 0.0 : static_cast<double>(low_blocks_) / static_cast<double>(blocks_);
}

bool LevelWatch::breathes() const noexcept {
  if (blocks_ < kLeastBlocks) return false;
  const auto n = static_cast<double>(blocks_);
  const double aa = sum_aa_ / n - sum_a_ * sum_a_ / (n * n);
  const double nn = sum_nn_ / n - sum_n_ * sum_n_ / (n * n);
  const double an = sum_an_ / n - sum_a_ * sum_n_ / (n * n);
  if (aa < kLeastSpreadDb * kLeastSpreadDb || nn <= 0.0) return false;
  return an / aa > kLeastSlope && an / std::sqrt(aa * nn) > kLeastCorrelation;
}

}  // namespace four76
