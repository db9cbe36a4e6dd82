// AveragedSpectrum: power spectrum of a real signal, Hann window, exponentially averaged (Welch 1967). Frames do not
// overlap: a picture that is averaged over a second gains little from it, and it would be the dearest stage of all.
//
// Calibrated so that a full-scale sine (peak amplitude 1) reads 0 dBFS at its peak bin when it lies on a bin; a sine
// between bins reads up to 1.42 dB less (Hann's scalloping loss, Harris 1978). Noise of one-sided density N0 reads
// N0 times the noise bandwidth of 1.5 bins.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "core/signal/fft.hpp"

namespace four76 {

// The Hann window, periodic form: 0.5 - 0.5 cos(2 pi n / N).
std::vector<float> hann_window(std::size_t size);
inline constexpr double kHannNoiseBandwidthBins = 1.5;

// A peak between bins, by the parabola through three logarithmic values: offset in bins (-0.5 to 0.5) and the height
// above the middle one in the same unit.
struct ParabolicPeak {
  double offset_bins = 0.0;
  double rise = 0.0;
};
ParabolicPeak parabolic_peak(double before, double middle, double after) noexcept;

class AveragedSpectrum {
 public:
  struct Config {
    double sample_rate_hz = 48000.0;
    std::size_t size = 8192;      // of the transform, a power of two
    double averaging_s = 1.0;     // time constant
    double highest_hz = 10000.0;  // what is kept: up to here, or half the rate
  };
  explicit AveragedSpectrum(const Config& config);
  void reset() noexcept;
  void process(std::span<const float> samples) noexcept;

  [[nodiscard]] bool ready() const noexcept { return frames_ > 0; }
  [[nodiscard]] double bin_hz() const noexcept { return bin_hz_; }
  // Mean-square amplitude, 1 = full-scale sine; as many bins as are kept.
  [[nodiscard]] std::span<const float> power() const noexcept { return power_; }

 private:
  void add_frame() noexcept;

  RealFft fft_;
  double bin_hz_;
  double keep_;  // weight of the past at each new frame
  std::vector<float> window_, ring_, frame_;
  std::vector<float> power_;
  std::size_t fill_ = 0;
  std::size_t until_frame_;
  long frames_ = 0;
};

}  // namespace four76
