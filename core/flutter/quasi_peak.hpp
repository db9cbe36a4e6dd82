// QuasiPeak: the older reading of wow and flutter, a full-wave peak detector that short pulses do not fill
// (IEC 60386:1972; deprecated by AES6-2008, but what most specifications are written in).
//
//   |x| --> [one pole, 7.1 ms] --> rise 44.1 ms while above the reading, else fall 0.917 s --> reading
//
// The standard holds a detector by its answer to unidirectional pulses, one a second, against a 4 Hz sine: 10, 30, 60
// and 100 ms read 21, 62, 90 and 100 %, and between those of 100 ms the reading falls to 36 to 44 % (10, 30 and 100 ms
// and the tolerances from memory; 60 ms and the fall from the abstract of AES6). The three times are those that come
// nearest, in tolerances (derived: 23, 58, 86.5, 102.4 and 37.4 %).
//
// The standard compares peaks to peak: pulses from 0 to h read as a sine from -h / 2 to h / 2. A full-wave detector
// after an AC-coupled weighting sees neither sign nor middle; here a pulse is one of the height that a sine's peak has,
// at the detector's own input, behind the weighting.
//
// In and out in percent; a steady 4 Hz sine reads its peak. Starts from 0, so it never reads too much while settling.
#pragma once

namespace four76 {

class QuasiPeak {
 public:
  struct Config {
    double point_rate_hz = 1000.0;
  };
  // A sine of any strength reads within 1 % of its final value after this.
  static constexpr double kSettlingS = 0.5;

  explicit QuasiPeak(const Config& config) noexcept;
  void reset() noexcept { smooth_ = held_ = 0.0; }
  // Takes one weighted point; gives back the reading.
  double process(double weighted) noexcept;
  [[nodiscard]] double reading() const noexcept { return scale_ * held_; }

 private:
  double smooth_share_, rise_share_, fall_keep_;
  double scale_ = 1.0;
  double smooth_ = 0.0, held_ = 0.0;
};

}  // namespace four76
