#include "core/signal/repeated_blocks.hpp"

#include <algorithm>

namespace four76 {
namespace {
constexpr std::size_t kMostRepeats = 8;                            // twice what was seen
constexpr std::size_t kMostWaiting = 64 * RepeatedBlocks::kBlock;  // of one channel for the other: 0.17 s at 48 kHz
}  // namespace

RepeatedBlocks::RepeatedBlocks() {
  for (Channel& channel : channels_) channel.kept.reserve(kMostWaiting);
}

void RepeatedBlocks::reset() noexcept {
  for (Channel& channel : channels_) {
    channel.last.fill(0.0F);
    channel.equal = 0;
    channel.taken_out = 0;
    channel.kept.clear();
  }
}

std::uint64_t RepeatedBlocks::count() const noexcept {
  return std::max(channels_[0].taken_out, channels_[1].taken_out);
}

void RepeatedBlocks::take(Channel& channel, std::span<const float> block) {
  const bool whole = block.size() == kBlock;
  const bool level = std::all_of(block.begin(), block.end(), [&](float sample) { return sample == block[0]; });
  const bool same = whole && !level && std::equal(block.begin(), block.end(), channel.last.begin());
  channel.equal = same ? channel.equal + 1 : 0;
  if (whole) std::copy(block.begin(), block.end(), channel.last.begin());
  if (same && channel.equal <= kMostRepeats)
    ++channel.taken_out;
  else
    channel.kept.insert(channel.kept.end(), block.begin(), block.end());
}

std::span<const float> RepeatedBlocks::process(std::span<const float> interleaved, int channels) {
  if (channels != 1 && channels != 2) return interleaved;
  if (channels != count_) reset();
  count_ = channels;
  const auto step = static_cast<std::size_t>(channels);
  const std::size_t frames = interleaved.size() / step;
  std::array<float, kBlock> block;
  for (std::size_t from = 0; from < frames; from += kBlock) {
    const std::size_t size = std::min(kBlock, frames - from);
    for (std::size_t c = 0; c < step; ++c) {
      for (std::size_t i = 0; i < size; ++i) block[i] = interleaved[(from + i) * step + c];
      take(channels_[c], std::span(block).first(size));
    }
  }
  // One channel alone may repeat: the other waits until it has caught up, but not for ever.
  std::vector<float>& left = channels_[0].kept;
  std::vector<float>& right = channels_[step - 1].kept;
  const std::size_t ready = std::min(left.size(), right.size());
  out_.resize(ready * step);
  for (std::size_t i = 0; i < ready; ++i)
    for (std::size_t c = 0; c < step; ++c) out_[i * step + c] = channels_[c].kept[i];
  for (std::size_t c = 0; c < step; ++c) {
    std::vector<float>& kept = channels_[c].kept;
    kept.erase(kept.begin(), kept.begin() + static_cast<std::ptrdiff_t>(ready));
    if (kept.size() > kMostWaiting) kept.clear();
  }
  return out_;
}

}  // namespace four76
