#include "core/tone/level_watch.hpp"

#include <algorithm>
#include <cmath>
#include <span>

#include "core/signal/statistics.hpp"

namespace four76 {

namespace {
constexpr double kNearDb = 2.5;
constexpr double kDownDb = 8.0;
constexpr double kLowDb = 4.0;
constexpr double kSlowS = 0.3;
constexpr double kFarDownDb = 20.0;
constexpr double kSlowToFarS = 0.15;
constexpr double kStaysDownS = 1.0;
constexpr std::uint64_t kLeastRunBlocks = 2;
constexpr std::uint64_t kLeastLowBlocks = 4;
constexpr std::uint64_t kLongRunBlocks = 10;
constexpr double kOftenLowShare = 0.125;
// The noise of one block is known to 1.1 dB (median of 5 variances of 10 points each); asked are four sigma and 1 dB.
constexpr double kBlockNoiseDb = 1.1;
constexpr double kQuartileDb = 0.74;  // from the lower quartile of such blocks to their median (Gaussian)
constexpr double kSigmas = 4.0;
constexpr double kNoiseFallsDb = 1.0;
constexpr double kLeastNoiseDb = -75.0;  // of one point, to the tone: below it there is nothing that could breathe
}  // namespace

void LevelWatch::Histogram::add(double db) noexcept {
  const double bin = std::clamp(std::round(db) - kLowestDb, 0.0, static_cast<double>(kBins - 1));
  ++bins_[static_cast<std::size_t>(bin)];
  ++count_;
}

void LevelWatch::Histogram::merge(const Histogram& other) noexcept {
  for (std::size_t i = 0; i < kBins; ++i) bins_[i] += other.bins_[i];
  count_ += other.count_;
}

// Interpolated within its bin.
double LevelWatch::Histogram::quantile_db(double share) const noexcept {
  const double wanted = static_cast<double>(count_) * share;
  double below = 0.0;
  for (std::size_t i = 0; i < kBins; ++i) {
    const double here = bins_[i];
    if (below + here >= wanted && here > 0.0) return static_cast<double>(i) + kLowestDb - 0.5 + (wanted - below) / here;
    below += here;
  }
  return kLowestDb;
}

void LevelWatch::add(double time_s, double amplitude, double noise_power) noexcept {
  amplitude_sum_ += amplitude;
  noise_powers_[knots_++] = noise_power;
  if (knots_ == kKnots) end_block(time_s);
}

// The upper quartile of the last ten seconds: dropouts and pumping pull a mean down.
double LevelWatch::usual_db() const noexcept {
  std::array<float, kKept> copy = levels_db_;
  const auto upper = copy.begin() + static_cast<std::ptrdiff_t>((kept_ * 3) / 4);
  std::nth_element(copy.begin(), upper, copy.begin() + static_cast<std::ptrdiff_t>(kept_));
  return static_cast<double>(*upper);
}

void LevelWatch::end_block(double time_s) noexcept {
  const double level_db = db_of_amplitude(std::max(1e-9, amplitude_sum_ / static_cast<double>(kKnots)));
  // The median: a steep edge of the level looks like noise.
  std::nth_element(noise_powers_.begin(), noise_powers_.begin() + kKnots / 2, noise_powers_.end());
  const double noise_db = db_of_power(std::max(1e-18, noise_powers_[kKnots / 2]));
  amplitude_sum_ = 0.0;
  knots_ = 0;
  levels_db_[next_] = static_cast<float>(level_db);
  next_ = (next_ + 1) % kKept;
  kept_ = std::min(kept_ + 1, kKept);

  ++blocks_;
  const double usual = usual_db();
  const double below_db = usual - level_db;
  if (below_db > kLowDb) ++low_blocks_;
  watch_fade(time_s, below_db);
  watch_breath(below_db, noise_db - usual);
}

// `noise_db` is relative to the usual level of the tone.
void LevelWatch::watch_breath(double below_db, double noise_db) noexcept {
  if (below_db > kLowDb) {
    if (was_usual_) low_run_noise_.add(noise_db);
    return;
  }
  if (below_db > kNearDb) return;
  end_low_run();
  was_usual_ = true;
  usual_noise_.add(noise_db);
}

// The level was down; it is up again, or the tone is lost.
void LevelWatch::end_low_run() noexcept {
  if (low_run_noise_.count() >= kLeastRunBlocks) {
    low_noise_.merge(low_run_noise_);
    longest_low_run_ = std::max(longest_low_run_, low_run_noise_.count());
    ++breaths_;
  }
  low_run_noise_ = {};
}

void LevelWatch::watch_fade(double time_s, double below_db) noexcept {
  if (below_db < kNearDb) {
    last_high_s_ = time_s;
    slow_fall_s_ = -1.0;
    return;
  }
  if (below_db < kDownDb) return;
  if (slow_fall_s_ < 0.0) {
    const double fall_s = time_s - last_high_s_;
    const bool slow = fall_s >= kSlowS || (below_db > kFarDownDb && fall_s >= kSlowToFarS);
    if (last_high_s_ >= 0.0 && slow)
      slow_fall_s_ = time_s;
    else if (below_db > kFarDownDb)
      last_high_s_ = -1.0;  // it fell at once: a dropout or the end of the tone
  } else if (time_s - slow_fall_s_ > kStaysDownS) {
    ++fades_;
    slow_fall_s_ = -1.0;
    last_high_s_ = -1.0;
  }
}

void LevelWatch::lost() noexcept {
  if (slow_fall_s_ >= 0.0) ++fades_;
  slow_fall_s_ = last_high_s_ = -1.0;
  amplitude_sum_ = 0.0;
  knots_ = 0;
  end_low_run();
  was_usual_ = false;
}

double LevelWatch::low_share() const noexcept {
  return blocks_ == 0 ? 0.0 : static_cast<double>(low_blocks_) / static_cast<double>(blocks_);
}

bool LevelWatch::breathes() const noexcept {
  const bool often = low_share() > kOftenLowShare || longest_low_run_ >= kLongRunBlocks;
  if (!often || breaths_ == 0 || low_noise_.count() < kLeastLowBlocks || usual_noise_.count() < kLeastLowBlocks)
    return false;
  // The quiet part of the usual blocks: what sounds beside the tone now and then lifts the others.
  const double usual_db = usual_noise_.quantile_db(0.25) + kQuartileDb;
  const double low_db = low_noise_.quantile_db(0.25) + kQuartileDb;  // edges of the level lift the others
  if (usual_db < kLeastNoiseDb) return false;
  const double sigma_db = kBlockNoiseDb * std::sqrt(1.0 / static_cast<double>(low_noise_.count()) +
                                                    1.0 / static_cast<double>(usual_noise_.count()));
  return usual_db - low_db > std::max(kNoiseFallsDb, kSigmas * sigma_db);
}

}  // namespace four76
