#include "core/tone/capture_faults.hpp"

#include <algorithm>
#include <cmath>

#include "core/signal/statistics.hpp"

namespace four76 {

namespace {
constexpr double kShortestGapS = 0.0005;
constexpr double kBlockS = 0.5;
// Below -60 dBFS a 16-bit signal has runs of zeros of its own.
constexpr float kRunningSignal = 0.001F;
constexpr float kNearFullScale = 0.90F;
constexpr float kFullScale = 0.9995F;
constexpr float kFlatTolerance = 2e-4F;
constexpr std::uint64_t kFlatTopsToCount = 4;  // in half a second
}  // namespace

CaptureFaults::CaptureFaults(const Config& config) noexcept
    : config_(config),
      shortest_gap_(static_cast<std::uint64_t>(std::max(8.0, kShortestGapS * config.sample_rate_hz))),
      longest_gap_(static_cast<std::uint64_t>(config.longest_gap_s * config.sample_rate_hz)),
      block_samples_(static_cast<std::uint64_t>(kBlockS * config.sample_rate_hz)),
      flat_samples_(
          static_cast<std::uint64_t>(std::max(2.0, std::ceil(config.sample_rate_hz / config.nominal_hz / 24.0)))),
      running_decay_(static_cast<float>(std::exp(-1.0 / (0.2 * config.sample_rate_hz)))) {}

void CaptureFaults::reset() noexcept { *this = CaptureFaults(config_); }

void CaptureFaults::process(std::span<float> samples) noexcept {
  for (float& sample : samples) {
    const bool finite = std::isfinite(sample);
    if (!finite) {
      sample = 0.0F;
      add_interval({count_, count_});
      ++lost_samples_;
      if (zero_run_ == 0) ++gap_count_;
    }
    const float magnitude = std::abs(sample);
    if (magnitude == 0.0F) {
      if (zero_run_++ == 0) peak_at_run_start_ = running_peak_;
      if (zero_run_ >= shortest_gap_ && peak_at_run_start_ > kRunningSignal) {
        if (open_interval_)
          intervals_[interval_count_ - 1].last = count_;
        else
          add_interval({count_ + 1 - zero_run_, count_});
        open_interval_ = true;
      }
    } else if (zero_run_ > 0) {
      end_zero_run();
    }
    see(magnitude);
    ++count_;
    if (++block_fill_ == block_samples_) end_block();
  }
}

void CaptureFaults::end_zero_run() noexcept {
  if (zero_run_ >= shortest_gap_ && zero_run_ <= longest_gap_ && peak_at_run_start_ > kRunningSignal) {
    ++gap_count_;
    lost_samples_ += zero_run_;
  }
  zero_run_ = 0;
  open_interval_ = false;
}

void CaptureFaults::see(float magnitude) noexcept {
  running_peak_ = std::max(magnitude, running_peak_ * running_decay_);
  block_peak_ = std::max(block_peak_, magnitude);
  block_square_ += static_cast<double>(magnitude) * static_cast<double>(magnitude);
  if (magnitude < kNearFullScale) {
    flat_run_ = 0;
    return;
  }
  if (flat_run_ > 0 && std::abs(magnitude - flat_level_) <= kFlatTolerance) {
    const std::uint64_t enough = magnitude >= kFullScale ? flat_samples_ : std::max<std::uint64_t>(3, flat_samples_);
    if (++flat_run_ == enough) ++flat_tops_;
  } else {
    flat_run_ = 1;
    flat_level_ = magnitude;
  }
}

void CaptureFaults::end_block() noexcept {
  ++blocks_;
  clipping_now_ = flat_tops_ >= kFlatTopsToCount;
  if (clipping_now_) ++clipped_blocks_;
  last_peak_ = block_peak_;
  loudest_rms_ = std::max(loudest_rms_, std::sqrt(block_square_ / static_cast<double>(block_fill_)));
  block_peak_ = 0.0F;
  block_square_ = 0.0;
  block_fill_ = 0;
  flat_tops_ = 0;
}

void CaptureFaults::add_interval(Interval interval) noexcept {
  if (interval_count_ > 0 && intervals_[interval_count_ - 1].last + 1 >= interval.first) {
    intervals_[interval_count_ - 1].last = interval.last;
    return;
  }
  if (interval_count_ == kKept) {
    std::move(intervals_.begin() + 1, intervals_.end(), intervals_.begin());
    --interval_count_;
  }
  intervals_[interval_count_++] = interval;
}

bool CaptureFaults::lost_between(double first_sample, double last_sample) const noexcept {
  return std::any_of(
      intervals_.begin(), intervals_.begin() + static_cast<std::ptrdiff_t>(interval_count_), [&](const Interval& i) {
        return static_cast<double>(i.last) >= first_sample && static_cast<double>(i.first) <= last_sample;
      });
}

double CaptureFaults::clipped_share() const noexcept {
  return blocks_ == 0 ? 0.0 : static_cast<double>(clipped_blocks_) / static_cast<double>(blocks_);
}

std::optional<double> CaptureFaults::peak_dbfs() const noexcept {
  const float peak = std::max(last_peak_.value_or(0.0F), block_peak_);
  if (count_ == 0 || peak <= 0.0F) return std::nullopt;
  return db_of_amplitude(static_cast<double>(peak));
}

}  // namespace four76
