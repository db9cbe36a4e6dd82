// PartialTracker: the partials of music, their frequencies, and which of them go on from frame to frame.
//
// Two short-time spectra under Hann windows each 42.7 ms: 341 ms long for partials up to 500 Hz, which lie close, and
// 171 ms above, where wow moves them farther. A partial's frequency is the phase that its bin gained since the frame
// before, over the time between (Flanagan and Golden 1966, the phase vocoder; from memory):
//
//   f = (k / N + wrap(arg(X_n[k] / X_(n-1)[k]) / 2 pi - k h / N) / h) fs
//
// Valid for one channel at kSongRate_hz.
#pragma once

#include <algorithm>
#include <array>
#include <complex>
#include <cstddef>
#include <span>
#include <vector>

#include "core/signal/fft.hpp"
#include "core/tapes/machine_movement.hpp"

namespace four76 {

struct Partial {
  double cents = 0.0;  // above A = 440 Hz
  double step = 0.0;   // cents since the frame before, where age > 0
  float level = 0.0F;  // power, in a unit of its own
  int age = 0;         // frames that it has gone on for
};

class PartialTracker {
 public:
  PartialTracker();
  void reset() noexcept;

  // Calls `sink(std::span<const Partial>)` for each frame, in the order of pitch; silence gives an empty one.
  template <class Sink>
  void process(std::span<const float> samples, Sink&& sink) noexcept {
    for (const float sample : samples) {
      ring_[fill_++] = sample;
      if (fill_ < ring_.size()) continue;
      sink(frame());
      fill_ -= kMovementStep_samples;
      std::copy(ring_.begin() + kMovementStep_samples, ring_.end(), ring_.begin());
    }
  }

 private:
  struct Band {
    Band(std::size_t size, double low_hz, double high_hz);
    RealFft fft;
    std::vector<float> window, windowed, power, sorted;
    std::vector<std::complex<float>> now, before;
    std::size_t first, last;  // bins
    bool begun = false;
  };
  std::span<const Partial> frame() noexcept;
  void transform(Band& band) noexcept;
  void find_in(Band& band) noexcept;
  [[nodiscard]] static double frequency_at(const Band& band, std::size_t k) noexcept;
  void link() noexcept;

  std::array<Band, 2> bands_;
  std::vector<float> ring_;
  std::size_t fill_ = 0;
  std::vector<Partial> found_, last_;
};

}  // namespace four76
