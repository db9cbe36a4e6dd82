// WowRates: the sinusoids that stand out of a stretch of the deviation, strongest first, one taken out at a time.
//
// Hann's window over all that is given, a transform of 1024, the strongest bin that stands out of the median around it;
// its rate by the parabola through three bins, its cosine and sine by least squares; taken out, and again. The noise
// around a peak is exponential in power: a ratio of 12 over its mean comes by chance once in e^12 bins (derived).
#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "core/signal/fft.hpp"

namespace four76 {

struct WowSine {
  double rate_hz = 0.0;
  // Deviation = cosine cos(2 pi rate t) + sine sin(2 pi rate t), t from the newest point; percent.
  double cosine_percent = 0.0, sine_percent = 0.0;
};

class WowRates {
 public:
  struct Config {
    double points_hz = 50.0;
    double lowest_hz = 0.25, highest_hz = 12.0;
  };
  static constexpr std::size_t kMost = 4;  // in one look
  static constexpr std::size_t kLongest = 512;

  explicit WowRates(const Config& config);
  // `percent`: evenly spaced, oldest first, at most kLongest, voids as 0; it is used up. At least two and a half
  // turns of a rate must lie in it.
  std::span<const WowSine> find(std::span<float> percent) noexcept;

 private:
  [[nodiscard]] std::size_t strongest_bin(std::size_t length) noexcept;
  void take_out(std::span<float> percent, double rate_hz) noexcept;

  Config config_;
  RealFft fft_;
  std::vector<float> frame_, power_, around_;
  std::array<WowSine, kMost> found_{};
  std::size_t count_ = 0;
};

}  // namespace four76
