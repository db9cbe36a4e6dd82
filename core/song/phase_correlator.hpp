// PhaseCorrelator: how far one window of tape lies from the reference, to some ten microseconds.
//
//   c(d) = Re sum_k w_k e^{j (phi_x - phi_r)_k} e^{-j 2 pi k d / N} / sum w_k,   w_k = |X_k R_k|^0.5
//
// Half way between plain correlation, which the loudest bass note rules, and pure phase correlation (Knapp and Carter
// 1976), in which the hiss between the notes of a flute outweighs them. Where phases are chance, c is Gaussian with a
// variance of sum w^2 / (2 (sum w)^2), times 1.5 for Hann's window, which ties neighbours together: z = c / sigma
// counts in that unit, whatever the music (derived).
#pragma once

#include <array>
#include <complex>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "core/signal/fft.hpp"
#include "core/song/rate_changer.hpp"

namespace four76 {

struct DelayPeak {
  double delay_s = 0.0;    // x(u) = r(u + delay)
  double z = 0.0;          // positive: how far beyond chance
  double coherence = 0.0;  // c
  bool inverted = false;   // the tape's polarity is the other one
};

class PhaseCorrelator {
 public:
  static constexpr std::size_t kSize = 4096;  // 0.34 s, 0.17 s between the half points of its window
  static constexpr double kWindow_s = static_cast<double>(kSize) / kSongRate_hz;
  static constexpr std::size_t kPeaks = 3;  // of each polarity

  PhaseCorrelator();
  // A window of the tape. False where it holds next to nothing.
  bool set_tape(std::span<const float> tape, double middle_s) noexcept;
  // The reference as it would sound in that window.
  [[nodiscard]] std::span<float> reference() noexcept { return reference_; }
  // The strongest peaks within `reach_s`, of both polarities, strongest first; how many.
  std::size_t correlate(double reach_s, std::array<DelayPeak, 2 * kPeaks>& peaks) noexcept;
  // The same of what was last correlated, within another reach.
  std::size_t peaks_within(double reach_s, std::array<DelayPeak, 2 * kPeaks>& peaks) const noexcept;
  // z at each lag from -reach to +reach, in samples; `z` has 2 reach + 1 places. The other polarity's is the negative.
  // False, and zeros, where one of them is silent.
  bool curve(std::span<float> z) noexcept;
  [[nodiscard]] double tape_power() const noexcept { return tape_power_; }
  // Of what was last compared: kSize / 2 + 1 bins.
  [[nodiscard]] std::span<const std::complex<float>> tape_spectrum() const noexcept { return tape_; }
  [[nodiscard]] std::span<const std::complex<float>> reference_spectrum() const noexcept { return heard_; }

 private:
  void cross() noexcept;

  RealFft fft_;
  ComplexFft back_;
  std::vector<float> window_, frame_, reference_;
  std::vector<std::complex<float>> tape_, heard_, cross_;  // heard: the reference
  std::span<const std::complex<float>> correlation_;
  double tape_power_ = 0.0;
  double sum_ = 0.0;      // of the weights
  double z_scale_ = 0.0;  // z of c = 1
};

}  // namespace four76
