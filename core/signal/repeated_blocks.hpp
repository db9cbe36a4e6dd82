// RepeatedBlocks: takes out blocks that a browser handed over twice.
//
// WebKitGTK now and then repeats one block of 128 frames bit for bit: up to four times, some dozens of times a minute,
// on one channel or on both (seen by test, version 2.50: sources.md#browsers). Two blocks from a microphone are never
// equal, so that the sound without the repeats is the sound as it was, to the sample. A pure tone made by a computer
// may have whole periods in a block, and then all of its blocks are equal. Longer rows of equal blocks are such a sound
// and stay as they are, and so does silence.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace four76 {

class RepeatedBlocks {
 public:
  static constexpr std::size_t kBlock = 128;  // frames that Web Audio renders at a time

  void reset() noexcept;
  // Takes interleaved frames, beginning with a block. Returns those to be measured, valid until the next call. With a
  // new number of channels it begins anew; more than two channels pass as they are. A channel that is more than 0.17 s
  // ahead of the other loses the samples that wait.
  std::span<const float> process(std::span<const float> interleaved, int channels);

  // Blocks taken out since the reset; of two channels the one with more.
  [[nodiscard]] std::uint64_t count() const noexcept;

 private:
  static constexpr std::size_t kMostWaiting = 64 * kBlock;  // of one channel for the other: 0.17 s at 48 kHz
  struct Channel {
    std::array<float, kBlock> last{};
    std::size_t equal = 0;  // blocks in a row that were the same as the one before
    std::uint64_t taken_out = 0;
    std::size_t waiting = 0;  // samples that wait for the other channel
    std::array<float, kMostWaiting + kBlock> kept;
  };
  // One block of a channel, or the rest of one.
  static void take(Channel& channel, const float* first, std::size_t size, std::size_t step) noexcept;
  void hand_out(std::size_t channels) noexcept;

  std::array<Channel, 2> channels_;
  int count_ = 0;  // of channels; 0 at first
  std::vector<float> out_;
  std::size_t filled_ = 0;
};

}  // namespace four76
