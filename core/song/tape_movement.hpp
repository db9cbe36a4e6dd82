// TapeMovement: how a tape moves along its reference from one frame of 11 ms to the next.
//
//   s = sum w omega sin(phi) / sum w omega^2,   phi the turn of the cross spectrum's bin from frame to frame
//
// in seconds a second. The reference is read along the track, side by side with the tape; how far beside it is does not
// matter, as long as a frame holds nearly the same of both.
#pragma once

#include <array>
#include <complex>
#include <cstddef>
#include <span>
#include <vector>

#include "core/signal/fft.hpp"
#include "core/song/rate_changer.hpp"

namespace four76 {

class TapeMovement {
 public:
  static constexpr std::size_t kFrame = 128;
  static constexpr std::size_t kHop = 32;  // from one frame to the next
  static constexpr double kFrames_hz = kSongRate_hz / kHop;

  // Both sums: frames between the notes hold hiss alone, and count for less beside the others.
  struct Frame {
    float top = 0.0F, bottom = 0.0F;
    float loudness = 0.0F;  // of the reference: mean magnitude of its bins
  };

  TapeMovement();
  // The next frame, kHop samples on; both hold kFrame samples or more at kSongRate_hz. The first one moves by nothing.
  Frame next(std::span<const float> tape, std::span<const float> reference) noexcept;

 private:
  using Complex = std::complex<float>;
  static constexpr std::size_t kFirstBin = 2;  // 190 Hz
  static constexpr std::size_t kLastBin = 24;  // 2200 Hz: above, a jump of 0.2 ms turns by half a period

  std::span<const Complex> spectrum_of(std::span<const float> samples) noexcept;

  RealFft fft_{kFrame};
  std::array<float, kFrame> window_{};
  std::array<Complex, kLastBin> before_{};
};

}  // namespace four76
