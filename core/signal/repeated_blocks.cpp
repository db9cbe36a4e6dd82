#include "core/signal/repeated_blocks.hpp"

#include <algorithm>

namespace four76 {
namespace {
constexpr std::size_t kMostRepeats = 8;  // twice what was seen
}  // namespace

void RepeatedBlocks::reset() noexcept {
  for (Channel& channel : channels_) {
    channel.last.fill(0.0F);
    channel.equal = channel.waiting = 0;
    channel.taken_out = 0;
  }
}

std::uint64_t RepeatedBlocks::count() const noexcept {
  return std::max(channels_[0].taken_out, channels_[1].taken_out);
}

void RepeatedBlocks::take(Channel& channel, const float* first, std::size_t size, std::size_t step) noexcept {
  bool same = size == kBlock;
  bool level = true;
  float* const kept = channel.kept.data() + channel.waiting;
  for (std::size_t i = 0; i < size; ++i) {
    kept[i] = first[i * step];
    same = same && kept[i] == channel.last[i];
    level = level && kept[i] == kept[0];
    channel.last[i] = kept[i];
  }
  channel.equal = same && !level ? channel.equal + 1 : 0;
  if (channel.equal > 0 && channel.equal <= kMostRepeats)
    ++channel.taken_out;
  else
    channel.waiting += size;
}

// One channel alone may repeat: the other waits until it has caught up, but not for ever.
void RepeatedBlocks::hand_out(std::size_t channels) noexcept {
  const std::size_t ready = std::min(channels_[0].waiting, channels_[channels - 1].waiting);
  for (std::size_t c = 0; c < channels; ++c) {
    Channel& channel = channels_[c];
    for (std::size_t i = 0; i < ready; ++i) out_[filled_ + i * channels + c] = channel.kept[i];
    channel.waiting -= ready;
    std::copy_n(channel.kept.data() + ready, channel.waiting, channel.kept.data());
    if (channel.waiting > kMostWaiting) channel.waiting = 0;
  }
  filled_ += ready * channels;
}

std::span<const float> RepeatedBlocks::process(std::span<const float> interleaved, int channels) {
  if (channels != 1 && channels != 2) return interleaved;
  if (channels != count_) reset();
  count_ = channels;
  const auto step = static_cast<std::size_t>(channels);
  filled_ = 0;
  out_.resize(interleaved.size() + step * kMostWaiting);
  for (std::size_t from = 0; from + step <= interleaved.size(); from += step * kBlock) {
    const std::size_t size = std::min(kBlock, (interleaved.size() - from) / step);
    for (std::size_t c = 0; c < step; ++c) take(channels_[c], interleaved.data() + from + c, size, step);
    hand_out(step);
  }
  return std::span(out_).first(filled_);
}

}  // namespace four76
