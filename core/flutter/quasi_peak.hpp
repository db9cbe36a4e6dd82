// QuasiPeak: the older reading of wow and flutter (IEC 60386:1972; deprecated by AES6-2008, but what most
// specifications are written in). The weighted deviation is detected from peak to peak, then weighted in time, and half
// of it is shown (abstract of AES6-2008).
//
//   x --+--> highest: rises to x in 39 ms while x is above, falls in 1.13 s --+
//       +--> lowest: the same below ------------------------------------------+--> u --> [one pole, 161 ms] --> u / 2
//
//   u = max(x - lowest, highest - x): the way from where x is to the far peak
//
// The standard holds the meter by pulses at its input, so through the weighting: unidirectional pulses of deviation,
// one a second, as high as a 4 Hz sine is from peak to peak. 10, 30, 60 and 100 ms read 21, 62, 90 and 100 % of that
// sine, and between those of 100 ms the reading falls to 36 to 44 % (10, 30 and 100 ms and the tolerances from memory;
// 60 ms and the fall from the abstract of AES6-2008).
//
// The three times are derived by fit: behind the weighting of weighting.hpp they give the smallest largest distance
// from these five figures, in their tolerances, and from a flat answer to sines of 0.4 to 80 Hz, in the weighting's
// tolerance of 2 dB. What comes out: 22.7, 58.7, 87.0 and 102.2 %, a fall to 40.1 %, sines within 0.5 dB from 0.63 to
// 80 Hz and 1.1 dB low at 0.4 Hz. A pole each for rise and fall of the time weighting comes no nearer.
//
// In and out in percent; a steady 4 Hz sine reads its peak. Starts from 0, so it never reads too much while settling.
#pragma once

namespace four76 {

class QuasiPeak {
 public:
  struct Config {
    double point_rate_hz = 1000.0;
  };
  // A 4 Hz sine of any strength reads within 1 % of its final value after this.
  static constexpr double kSettlingS = 1.1;

  explicit QuasiPeak(const Config& config) noexcept;
  void reset() noexcept { above_ = below_ = shown_ = 0.0; }
  // Takes one weighted point; gives back the reading.
  double process(double weighted) noexcept;
  [[nodiscard]] double reading() const noexcept { return scale_ * shown_; }

 private:
  double rise_share_, fall_keep_, time_share_;
  double scale_ = 1.0;
  double above_ = 0.0, below_ = 0.0;  // how far the peaks lie from 0, each to its side
  double shown_ = 0.0;
};

}  // namespace four76
