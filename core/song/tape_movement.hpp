// TapeMovement: how a tape moves along its reference, from frames of 11 ms.
//
// The cross spectrum of tape and reference turns from one frame to another by omega tau. Two answers, as either is
// blind where the other sees:
//
//   near  to the frame 2.7 ms before:  tau = sum w omega sin(phi) / sum w omega^2,   phi the bin's turn. Quick.
//   far   to the frame 11 ms before, which shares no sound with it, so that a jump between them is seen whole: tau is
//         where all bins agree best, the peak of the generalised cross-correlation (Knapp and Carter 1976), made finer
//         by the same sum. Twenty samples lost turn the upper bins by more than a period: a mean of sines cannot tell
//         them.
//
// The reference is read along the track, side by side with the tape; how far beside it is does not matter, as long as a
// frame holds nearly the same of both.
#pragma once

#include <array>
#include <complex>
#include <cstddef>
#include <span>

#include "core/signal/fft.hpp"
#include "core/song/rate_changer.hpp"

namespace four76 {

class TapeMovement {
 public:
  static constexpr std::size_t kFrame = 128;
  static constexpr std::size_t kHop = 32;  // from one frame to the next
  static constexpr double kFrames_hz = kSongRate_hz / kHop;
  static constexpr std::size_t kApart = kFrame / kHop;  // frames, of those that share no sound

  // top / bottom: seconds a second. Both: frames between the notes hold hiss alone, and count for less.
  struct Sums {
    float top = 0.0F, bottom = 0.0F;
  };
  struct Frame {
    Sums near, far;
    float loudness = 0.0F;  // of the reference: mean magnitude of its bins
  };

  TapeMovement();
  // The next frame, kHop samples on; both hold kFrame samples or more at kSongRate_hz. The first ones move by nothing.
  Frame next(std::span<const float> tape, std::span<const float> reference) noexcept;

 private:
  using Complex = std::complex<float>;
  static constexpr std::size_t kFirstBin = 2;   // 190 Hz
  static constexpr std::size_t kNearBins = 24;  // to 2200 Hz: above, a jump of 0.2 ms turns by half a period
  static constexpr std::size_t kFarBins = 32;   // to 3 kHz
  static constexpr double kMost_s = 0.0008;     // a loss of 38 samples
  static constexpr double kStep_s = 0.00004;    // an eighth of a period of the highest bin
  static constexpr std::size_t kSteps = 2 * static_cast<std::size_t>(kMost_s / kStep_s + 0.5) + 1;
  using Bins = std::array<Complex, kFarBins>;

  void take_spectrum(std::span<const float> samples, Bins& bins) noexcept;
  [[nodiscard]] static Sums move_near(const Bins& cross, const Bins& before) noexcept;
  [[nodiscard]] Sums move_far(const Bins& cross, const Bins& before) const noexcept;

  RealFft fft_{kFrame};
  std::array<float, kFrame> window_{};
  std::array<Bins, kSteps> turns_{};   // that undo each step's
  std::array<Bins, kApart> before_{};  // the newest cross spectra
  std::size_t oldest_ = 0;             // of them
};

}  // namespace four76
