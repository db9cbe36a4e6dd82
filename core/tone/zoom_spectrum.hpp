// ZoomSpectrum: the spectrum within 300 Hz of the tone at about 1 Hz resolution, from the track's points.
//
// The points are put back to a fixed centre frequency (which follows the tone when it has moved far), Hann window, 50 %
// overlap, exponentially averaged over about two seconds. A sine of peak amplitude 1 reads a power of 1 at its bin.
#pragma once

#include <complex>
#include <cstddef>
#include <span>
#include <vector>

#include "core/signal/fft.hpp"
#include "core/tone/tone_track.hpp"

namespace four76 {

class ZoomSpectrum {
 public:
  explicit ZoomSpectrum(double point_rate_hz);
  void reset() noexcept;
  void process(std::span<const TrackPoint> points, double tone_hz) noexcept;
  [[nodiscard]] bool ready() const noexcept { return frames_ > 0; }
  [[nodiscard]] double first_hz() const noexcept;  // absolute frequency of the first bin
  [[nodiscard]] double bin_hz() const noexcept { return bin_hz_; }
  [[nodiscard]] std::span<const float> power() const noexcept { return power_; }

 private:
  static constexpr std::size_t kSize = 1024;
  void add_frame() noexcept;
  ComplexFft fft_;
  double bin_hz_;
  double keep_;
  std::vector<float> window_;
  std::vector<std::complex<float>> ring_, frame_;
  std::vector<float> power_;
  std::size_t half_bins_;
  std::size_t fill_ = 0;
  long frames_ = 0;
  double centre_hz_ = 0.0;
};

}  // namespace four76
