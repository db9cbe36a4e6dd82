#include "core/song/tape_losses.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstring>

namespace four76 {
namespace {
constexpr double kShortestZeros_s = 0.0005;
constexpr double kLongestZeros_s = 0.5;  // a longer one is a pause
constexpr float kSounds = 0.001F;        // peak: below -60 dBFS 16 bits have runs of zeros of their own
constexpr double kForget_s = 0.2;
constexpr double kLongestBlock_s = 0.1;
constexpr std::uint64_t kShortestBlock = 64;
constexpr std::uint64_t kFew = 16;  // samples that are looked up
constexpr std::size_t kSeen = 1U << 14U;
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
      forget_(static_cast<float>(std::exp(-1.0 / (kForget_s * sample_rate_hz)))),
      longest_block_(static_cast<std::uint64_t>(kLongestBlock_s * sample_rate_hz)),
      ring_(std::bit_ceil(static_cast<std::size_t>(longest_block_ + 2 * kFew))),
      seen_(kSeen) {}

void TapeLosses::process(std::span<const float> interleaved) noexcept {
  for (std::size_t at = 0; at + channels_ <= interleaved.size(); at += channels_) {
    float value = 0.0F;
    for (const float sample : interleaved.subspan(at, channels_)) value = value * 0.75F + sample;  // none cancels
    if (!std::isfinite(value)) value = 0.0F;
    look_for_zeros(value);
    look_for_repeats(value);
    ring_[count_++ & (ring_.size() - 1)] = value;
  }
}

void TapeLosses::note(std::uint64_t samples) noexcept {
  ++found_.places;
  found_.seconds += static_cast<double>(samples) / sample_rate_hz_;
}

void TapeLosses::look_for_zeros(float value) noexcept {
  if (value == 0.0F) {
    if (zeros_++ == 0) peak_before_ = peak_;
  } else if (zeros_ > 0) {
    const double run_s = static_cast<double>(zeros_) / sample_rate_hz_;
    if (run_s >= kShortestZeros_s && run_s <= kLongestZeros_s && peak_before_ > kSounds) note(zeros_);
    zeros_ = 0;
  }
  peak_ = std::max(std::abs(value), peak_ * forget_);
}

void TapeLosses::look_for_repeats(float value) noexcept {
  hash_ = hash_ * kBase + bits_of(value);
  if (count_ >= kFew) hash_ -= bits_of(before(kFew)) * power_of_base(kFew);
  if (alike_ > 0) {
    if (value == before(block_)) {
      ++alike_;
    } else {
      const double blocks = static_cast<double>(alike_) / static_cast<double>(block_);
      if (blocks >= kLeastOfBlock && blocks <= kMostBlocks) note(alike_);
      alike_ = 0;
    }
  }
  Seen& seen = seen_[(hash_ >> 8U) % kSeen];
  const std::uint64_t lag = count_ + 1 - seen.at;
  // A run of one value is no block.
  if (alike_ == 0 && seen.at > 0 && seen.hash == hash_ && lag >= kShortestBlock && lag <= longest_block_ &&
      value != before(1)) {
    bool same = value == before(lag);
    for (std::uint64_t i = 1; same && i < kFew; ++i) same = before(i) == before(i + lag);
    if (same) block_ = lag, alike_ = kFew;
  }
  seen = {hash_, count_ + 1};
}

}  // namespace four76
