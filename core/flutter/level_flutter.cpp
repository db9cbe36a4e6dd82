#include "core/flutter/level_flutter.hpp"

#include <algorithm>
#include <cmath>

#include "core/signal/filters.hpp"
#include "core/signal/statistics.hpp"

namespace four76 {

namespace {

constexpr double kStopHz = 85.0, kAttenuationDb = 60.0;
constexpr double kLeastRateHz = 125.0;  // what lies beyond 85 Hz folds to 40 Hz at the lowest
constexpr double kBlockS = 1.0;
constexpr double kLeastOfBlock = 0.3;
constexpr double kTurned = 1.41;              // 3 dB
constexpr double kSettledLog = 0.06;          // half a decibel
constexpr int kMostSettling = 8;              // blocks
constexpr std::size_t kMostOff = 2;           // blocks
constexpr std::uint64_t kHeldBackBlocks = 3;  // a turn shows after two, and may begin in the one before
constexpr double kRingS = 24.0;
constexpr double kEdgeS = 0.03;          // a dropout's edge is known so late
constexpr double kSmoothedNoise = 0.03;  // 0.17 squared: see the header

// Of white noise through the taps: its bandwidth, and that of its power in the sense of statistics.
struct Bandwidths {
  double noise_hz = 0.0, power_hz = 0.0;
};
Bandwidths bandwidths(const std::vector<double>& taps, double rate_hz) {
  const std::size_t length = taps.size();
  double power = 0.0;
  double square = 0.0;
  for (std::size_t lag = 0; lag < length; ++lag) {
    double sum = 0.0;
    for (std::size_t k = 0; k + lag < length; ++k) sum += taps[k] * taps[k + lag];
    if (lag == 0) power = sum;
    square += (lag == 0 ? 1.0 : 2.0) * sum * sum;
  }
  return {0.5 * rate_hz * power, 0.5 * rate_hz * power * power / square};
}

}  // namespace

LevelFlutter::LevelFlutter(const Config& config)
    : dropouts_({.point_rate_hz = config.point_rate_hz, .window_s = kDropoutWindowS}),
      taps_(design_lowpass({config.point_rate_hz, kHighestHz, kStopHz, kAttenuationDb})),
      decimation_(static_cast<std::size_t>(std::floor(config.point_rate_hz / kLeastRateHz))),
      rate_hz_(config.point_rate_hz / static_cast<double>(decimation_)),
      input_(2 * taps_.size()),
      until_kept_(decimation_),
      ring_(static_cast<std::size_t>(kRingS * rate_hz_)),
      sound_(ring_.size()),
      block_points_(static_cast<std::size_t>(std::llround(kBlockS * rate_hz_))) {
  const Bandwidths found = bandwidths(taps_, config.point_rate_hz);
  noise_bandwidth_hz_ = found.noise_hz;
  power_bandwidth_hz_ = found.power_hz;
  reset();
}

void LevelFlutter::reset() noexcept {
  dropouts_.reset();
  input_next_ = in_block_ = mean_count_ = silent_blocks_ = off_blocks_ = off_means_ = 0;
  settling_ = 0;
  last_mean_.reset();
  until_kept_ = decimation_;
  unsettled_ = taps_.size();
  kept_ = run_begin_ = counted_until_ = 0;
  block_ = whole_ = {};
}

void LevelFlutter::process(std::span<const LevelPoint> points) noexcept {
  for (const LevelPoint& point : points) take(point);
}

void LevelFlutter::take(const LevelPoint& point) noexcept {
  const bool was_down = dropouts_.is_down();
  dropouts_.add(point);
  const bool sound = point.valid && std::isfinite(point.amplitude) && !dropouts_.is_down();
  if (dropouts_.is_down() && !was_down) {
    const auto edge = static_cast<std::uint64_t>(std::ceil(kEdgeS * rate_hz_));
    for (std::uint64_t k = 1; k <= std::min(edge, kept_); ++k) sound_[ring_at(kept_ - k)] = 0;
  }

  const std::size_t length = taps_.size();
  input_[input_next_] = input_[input_next_ + length] = sound ? point.amplitude : 0.0F;
  input_next_ = input_next_ + 1 == length ? 0 : input_next_ + 1;
  unsettled_ = sound ? unsettled_ - std::min<std::size_t>(unsettled_, 1) : length;
  if (--until_kept_ > 0) return;
  until_kept_ = decimation_;
  double level = 0.0;
  for (std::size_t k = 0; k < length; ++k) level += taps_[k] * static_cast<double>(input_[input_next_ + k]);
  keep(level, unsettled_ == 0);
}

void LevelFlutter::keep(double level, bool sound) noexcept {
  ring_[ring_at(kept_)] = static_cast<float>(level);
  sound_[ring_at(kept_)] = sound;
  ++kept_;
  if (sound) {
    block_.sum += level;
    block_.points += 1.0;
  }
  if (++in_block_ == block_points_) end_block();
}

// Whether a level differs by 3 dB or more from that of the run.
bool LevelFlutter::departs(double level) const noexcept {
  if (mean_count_ == 0) return false;
  std::array<double, kBlocks> copy = means_;
  const double usual = median_of(std::span(copy).first(mean_count_));
  return level > kTurned * usual || usual > kTurned * level;
}

void LevelFlutter::end_block() noexcept {
  const bool any = block_.points > kLeastOfBlock * static_cast<double>(block_points_);
  const double mean = any ? block_.sum / block_.points : 0.0;
  block_ = {};
  in_block_ = 0;
  silent_blocks_ = any ? 0 : silent_blocks_ + 1;
  if (any && settling_ > 0) return settle_again(mean);
  const bool off = !any || departs(mean);
  off_blocks_ = off ? off_blocks_ + 1 : 0;
  off_means_ = off ? off_means_ + (any ? 1 : 0) : 0;
  if (silent_blocks_ >= kMostOff || off_means_ >= kMostOff) {
    settling_ = any ? kMostSettling : 0;
    end_run(kept_ - std::min<std::uint64_t>(kept_, (off_blocks_ + 1) * block_points_));
  } else if (!off) {
    go_on(mean);
  }
}

void LevelFlutter::go_on(double mean) noexcept {
  if (mean_count_ == kBlocks) std::move(means_.begin() + 1, means_.end(), means_.begin());
  mean_count_ = std::min(mean_count_ + 1, kBlocks);
  means_[mean_count_ - 1] = mean;
  const auto stretch = static_cast<std::uint64_t>(kStretchS * rate_hz_);
  if (kept_ < counted_until_ + stretch + kHeldBackBlocks * block_points_) return;
  whole_.add(measure(counted_until_, counted_until_ + stretch));
  counted_until_ += stretch;
}

// Behind a turn of the volume: waits until two blocks agree. After kMostSettling blocks the level itself sways.
void LevelFlutter::settle_again(double mean) noexcept {
  const bool agrees = last_mean_ && std::abs(std::log(mean / *last_mean_)) < kSettledLog;
  last_mean_ = mean;
  run_begin_ = counted_until_ = kept_;
  settling_ = agrees ? 0 : settling_ - 1;
  if (settling_ == 0) go_on(mean);
}

// What is left of a run counts where it is long enough.
void LevelFlutter::end_run(std::uint64_t until) noexcept {
  if (until > counted_until_) whole_.add(measure(counted_until_, until));
  run_begin_ = counted_until_ = kept_;
  mean_count_ = off_blocks_ = off_means_ = 0;
  last_mean_.reset();
}

// Squares of the level over a straight line through it, less 1, in percent; nothing from less than 5 s.
LevelFlutter::Sum LevelFlutter::measure(std::uint64_t from, std::uint64_t to) const noexcept {
  double sums[5] = {};  // 1, t, t^2, x, t x
  const double half = 0.5 * static_cast<double>(to - from);
  const auto time = [&](std::uint64_t n) { return (static_cast<double>(n - from) - half) / half; };
  for (std::uint64_t n = from; n < to; ++n) {
    if (sound_[ring_at(n)] == 0) continue;
    const double t = time(n);
    const auto x = static_cast<double>(ring_[ring_at(n)]);
    const double terms[5] = {1.0, t, t * t, x, t * x};
    for (int k = 0; k < 5; ++k) sums[k] += terms[k];
  }
  if (sums[0] < kLeastS * rate_hz_) return {};
  const double spread = sums[2] - sums[1] * sums[1] / sums[0];
  const double slope = (sums[4] - sums[1] * sums[3] / sums[0]) / spread;
  const double middle = (sums[3] - slope * sums[1]) / sums[0];
  if (!(middle > std::abs(slope))) return {};
  Sum power;
  for (std::uint64_t n = from; n < to; ++n) {
    if (sound_[ring_at(n)] == 0) continue;
    const double line = middle + slope * time(n);
    power.sum += std::pow(100.0 * (static_cast<double>(ring_[ring_at(n)]) / line - 1.0), 2.0);
    power.points += 1.0;
  }
  return power;
}

// Without the blocks that are off, and the one before them, in which a turn may have begun.
std::uint64_t LevelFlutter::steady_until() const noexcept {
  return kept_ - std::min<std::uint64_t>(kept_, in_block_ + (off_blocks_ + 1) * block_points_);
}

LevelReading LevelFlutter::read(const Sum& power, const std::optional<DropoutReading>& dropouts,
                                std::optional<double> noise_to_carrier) const noexcept {
  LevelReading reading{.rms = std::nullopt, .dropouts = std::nullopt, .counted_s = power.points / rate_hz_};
  const double smoothed = noise_to_carrier.value_or(0.0) / (2.0 * DropoutWatch::kSmoothS);
  if (smoothed < kSmoothedNoise) reading.dropouts = dropouts;
  if (reading.counted_s < kLeastS) return reading;
  const BandLevel level{.counted_s = reading.counted_s, .rms_percent = std::sqrt(power.sum / power.points)};
  std::optional<NoiseShare> noise;
  if (noise_to_carrier)
    noise = {100.0 * std::sqrt(*noise_to_carrier * noise_bandwidth_hz_), power_bandwidth_hz_, reading.counted_s};
  reading.rms = rms_figure(level, noise);
  return reading;
}

LevelReading LevelFlutter::live(std::optional<double> noise_to_carrier) const noexcept {
  const std::uint64_t to = steady_until();
  const auto stretch = static_cast<std::uint64_t>(kStretchS * rate_hz_);
  const std::uint64_t from = std::max(run_begin_, to - std::min(to, stretch));
  return read(to > from ? measure(from, to) : Sum{}, dropouts_.live(), noise_to_carrier);
}

LevelReading LevelFlutter::whole(std::optional<double> noise_to_carrier) const noexcept {
  Sum power = whole_;
  const std::uint64_t to = steady_until();
  if (to > counted_until_) power.add(measure(counted_until_, to));
  return read(power, dropouts_.whole(), noise_to_carrier);
}

}  // namespace four76
