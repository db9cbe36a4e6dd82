// WAV, the writing side: the head of a file of 16-bit PCM, and samples as its bytes.
//
// Layout: "Multimedia Programming Interface and Data Specifications 1.0" (1991, RIFF and WAVE); 44 bytes of head.
// Samples are rounded to the nearest with a triangular dither of one step either side, so that a faint tone keeps its
// shape (common practice); the dither is repeatable.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>

#include "core/signal/gaussian_noise.hpp"

namespace four76 {

inline constexpr std::size_t kWavHeadBytes = 44;

// Nothing where the file would be larger than its 32-bit sizes can say, or channels or rate are 0.
[[nodiscard]] std::optional<std::array<std::byte, kWavHeadBytes>> wav_head(std::uint32_t sample_rate_hz,
                                                                           std::uint16_t channels,
                                                                           std::uint64_t frames) noexcept;

class Pcm16 {
 public:
  void reset() noexcept { noise_ = GaussianNoise(kSeed); }
  // Two bytes a sample; both spans hold as many. Beyond full scale it is cut; what is not finite is 0.
  void process(std::span<const float> samples, std::span<std::byte> bytes) noexcept;

 private:
  static constexpr std::uint64_t kSeed = 476;
  GaussianNoise noise_{kSeed};
};

}  // namespace four76
