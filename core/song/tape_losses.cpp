#include "core/song/tape_losses.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstring>

namespace four76 {
namespace {
constexpr double kLongestZeros_s = 0.5;  // a longer one is a pause
constexpr double kLongestBlock_s = 0.1;
constexpr std::uint64_t kShortestBlock = 64;
constexpr std::uint64_t kFew = 16;  // samples that are looked up
constexpr unsigned kSeenBits = 14;
constexpr std::uint32_t kBase = 0x9E3779B1U;  // odd: any will do
constexpr double kLeastOfBlock = 0.9;
constexpr double kMostBlocks = 4.5;  // played five times

// std::bit_cast is missing from Emscripten 3.1.6's library.
std::uint32_t bits_of(float value) noexcept {
  std::uint32_t bits = 0;
  std::memcpy(&bits, &value, sizeof bits);
  return bits;
}

constexpr std::uint32_t power_of_base(std::uint64_t exponent) noexcept {
  std::uint32_t power = 1;
  for (std::uint64_t i = 0; i < exponent; ++i) power *= kBase;
  return power;
}
}  // namespace

TapeLosses::TapeLosses(double sample_rate_hz, int channels)
    : sample_rate_hz_(sample_rate_hz),
      channels_(static_cast<std::size_t>(std::max(1, channels))),
      faults_({.sample_rate_hz = sample_rate_hz, .longest_gap_s = kLongestZeros_s}),
      longest_block_(static_cast<std::uint64_t>(kLongestBlock_s * sample_rate_hz)),
      ring_(std::bit_ceil(static_cast<std::size_t>(longest_block_ + 2 * kFew))),
      seen_(std::size_t{1} << kSeenBits) {}

void TapeLosses::process(std::span<const float> interleaved) noexcept {
  for (std::size_t at = 0; at + channels_ <= interleaved.size();) {
    std::size_t filled = 0;
    for (; filled < block_.size() && at + channels_ <= interleaved.size(); at += channels_, ++filled) {
      float value = 0.0F;
      for (const float sample : interleaved.subspan(at, channels_)) value = value * 0.75F + sample;  // none cancels
      block_[filled] = value;
    }
    const auto block = std::span(block_).first(filled);
    faults_.process(block);  // and makes what is not finite a zero
    for (const float value : block) {
      look_for_repeats(value);
      ring_[count_++ & (ring_.size() - 1)] = value;
    }
  }
}

LostSamples TapeLosses::found() const noexcept {
  return {repeats_ + static_cast<int>(faults_.gap_count()),
          faults_.lost_s() + static_cast<double>(repeated_) / sample_rate_hz_};
}

void TapeLosses::look_for_repeats(float value) noexcept {
  hash_ = hash_ * kBase + bits_of(value);
  static constexpr std::uint32_t kOldest = power_of_base(kFew);
  if (count_ >= kFew) hash_ -= bits_of(before(kFew)) * kOldest;
  if (alike_ > 0) {
    if (value == before(lag_)) {
      ++alike_;
    } else {
      const double blocks = static_cast<double>(alike_) / static_cast<double>(lag_);
      if (blocks >= kLeastOfBlock && blocks <= kMostBlocks) ++repeats_, repeated_ += alike_;
      alike_ = 0;
    }
  }
  Seen& seen = seen_[hash_ >> (32U - kSeenBits)];  // the highest: samples of 16 bits leave the lowest empty
  const std::uint64_t lag = count_ + 1 - seen.at;
  // A run of one value is no block.
  if (alike_ == 0 && seen.at > 0 && seen.hash == hash_ && lag >= kShortestBlock && lag <= longest_block_ &&
      value != before(1)) {
    bool same = value == before(lag);
    for (std::uint64_t i = 1; same && i < kFew; ++i) same = before(i) == before(i + lag);
    if (same) lag_ = lag, alike_ = kFew;
  }
  seen = {hash_, count_ + 1};
}

}  // namespace four76
