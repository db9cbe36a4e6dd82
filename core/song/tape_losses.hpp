// TapeLosses: what the device that captured a tape lost of it, as far as the samples themselves say so.
//
// - Runs of exact zeros while the tape sounds: a device that under-ran. 0.5 ms to 0.5 s of them (CaptureFaults).
// - Blocks played twice: samples equal to those one block before, bit by bit, for a block's length. A tape's hiss never
//   does that; a sound that is periodic in whole samples does so for longer and is none.
//
// At the capture's own rate: a change of rate blurs both. What was dropped without a trace is not seen here.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "core/tone/capture_faults.hpp"

namespace four76 {

struct LostSamples {
  int places = 0;
  double seconds = 0.0;  // of zeros, and of what was repeated
};

class TapeLosses {
 public:
  TapeLosses(double sample_rate_hz, int channels);
  void process(std::span<const float> interleaved) noexcept;
  [[nodiscard]] LostSamples found() const noexcept;

 private:
  struct Seen {
    std::uint32_t hash = 0;
    std::uint64_t at = 0;  // one more than its last sample's index
  };
  void look_for_repeats(float value) noexcept;
  [[nodiscard]] float before(std::uint64_t lag) const noexcept { return ring_[(count_ - lag) & (ring_.size() - 1)]; }

  double sample_rate_hz_;
  std::size_t channels_;
  CaptureFaults faults_;
  std::array<float, 256> block_{};
  std::uint64_t count_ = 0;
  // Repeats: the newest samples, and where each few of them were last seen.
  std::uint64_t longest_block_;
  std::vector<float> ring_;
  std::vector<Seen> seen_;
  std::uint32_t hash_ = 0;
  std::uint64_t lag_ = 0, alike_ = 0;  // how far back it is the same, and for how long
  int repeats_ = 0;
  std::uint64_t repeated_ = 0;  // samples
};

}  // namespace four76
