#include "core/flutter/band_meter.hpp"

#include <cmath>

namespace four76 {

BandMeter::BandMeter(const Config& config)
    : point_rate_hz_(config.filter.point_rate_hz),
      filter_(config.filter),
      live_two_sigma_({.window_points = static_cast<std::size_t>(std::llround(config.window_s * point_rate_hz_))}),
      whole_two_sigma_({}),
      block_points_(static_cast<std::size_t>(std::llround(config.window_s * point_rate_hz_ / kBlocks))),
      settling_points_(static_cast<std::size_t>(std::ceil(filter_.settling_s() * point_rate_hz_))) {}

void BandMeter::reset() noexcept {
  filter_.settle(0.0);
  live_two_sigma_.reset();
  whole_two_sigma_.reset();
  blocks_.fill({});
  block_ = in_block_ = 0;
  whole_ = {};
  unsettled_points_ = 0;
}

std::optional<double> BandMeter::process(double deviation_percent, bool sound) noexcept {
  const double value = filter_.process(deviation_percent);
  if (!sound)
    unsettle();
  else if (unsettled_points_ > 0)
    --unsettled_points_;
  if (unsettled_points_ > 0) {
    skip();
    return std::nullopt;
  }
  live_two_sigma_.add(value);
  whole_two_sigma_.add(value);
  blocks_[block_].add(value);
  whole_.add(value);
  pass_time();
  return value;
}

void BandMeter::skip() noexcept {
  live_two_sigma_.add_void();
  pass_time();
}

void BandMeter::pass_time() noexcept {
  if (++in_block_ < block_points_) return;
  in_block_ = 0;
  block_ = (block_ + 1) % kBlocks;
  blocks_[block_] = {};
}

std::optional<BandLevel> BandMeter::level(const Sum& sum, const TwoSigma& two_sigma) const noexcept {
  const auto percent = two_sigma.percent();
  if (!percent || sum.count == 0) return std::nullopt;
  const auto count = static_cast<double>(sum.count);
  return BandLevel{count / point_rate_hz_, std::sqrt(sum.squares / count), *percent};
}

std::optional<BandLevel> BandMeter::live() const noexcept {
  Sum sum;
  for (const Sum& block : blocks_) {
    sum.squares += block.squares;
    sum.count += block.count;
  }
  return level(sum, live_two_sigma_);
}

std::optional<BandLevel> BandMeter::whole() const noexcept { return level(whole_, whole_two_sigma_); }

}  // namespace four76
