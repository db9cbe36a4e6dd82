// DeviationFilter: the speed deviation within one of the bands that the figures of wow and flutter are read in.
//
//   deviation --> [FIR: flat to 200 Hz, nothing from 225 Hz on] --> [recursive sections of the band] --> out
//
// - unweighted: 0.1 to 200 Hz, by a second-order Butterworth high-pass at 0.035 Hz: 0.064 dB down at 0.1 Hz.
// - wow, flutter: the unweighted band parted at 10 Hz by a fourth-order Butterworth pair; their powers add up to the
//   unweighted one's (common practice: the standard names the split, not its filter).
// - scrape: from 100 Hz on, where tape that rubs sings (common practice), by a fourth-order Butterworth high-pass.
// - flat: from 0 Hz, the mean speed and all; for the spectrum.
// - weighted: see weighting.hpp, cut at 200 Hz as well (AES6-2008: the noise floor grows with the bandwidth).
//
// The FIR is of linear phase (a windowed inverse transform; Kaiser, 60 dB). Its pass-band makes up for two losses:
// - A deviation is the difference of two neighbouring phases over the time between them, thus a mean over that time. It
//   reads a flutter of rate f too low by sin(x) / x, x = pi f / rate (0.6 dB at 200 Hz and 1000 points a second). With
//   `differenced` the FIR makes up for that.
// - Aliasing bends the matched sections of the weighting near half the rate. The FIR restores the exact curve.
// The response is within 0.02 dB of the exact one from 0.1 to 200 Hz, whatever the point rate (tested).
//
// Units in = units out (percent). Rates from 700 to 2500 points a second.
#pragma once

#include <array>
#include <complex>
#include <cstddef>
#include <vector>

#include "core/flutter/biquad.hpp"

namespace four76 {

enum class FlutterBand { unweighted, weighted, wow, flutter, scrape, flat };

class DeviationFilter {
 public:
  struct Config {
    double point_rate_hz = 1000.0;
    FlutterBand band = FlutterBand::unweighted;
    bool differenced = true;  // points are differences of phases a point apart; false: samples of the deviation itself
  };
  static constexpr double kHighestHz = 200.0;
  static constexpr double kStopHz = 225.0;

  explicit DeviationFilter(const Config& config);
  // Sets the filter as if the deviation had always been this.
  void settle(double deviation) noexcept;
  double process(double deviation) noexcept;

  // |H| of the whole, with the differencing ahead of it; 1 where the band is flat.
  [[nodiscard]] double gain(double rate_hz) const noexcept;
  // Delay of the linear-phase FIR.
  [[nodiscard]] std::size_t delay_points() const noexcept { return taps_.size() / 2; }
  // From the beginning of a 50 ms pulse (a dropout's) to where the response stays below 3 % of its largest value.
  [[nodiscard]] double settling_s() const noexcept { return settling_s_; }
  // Integral of f^2 |H|^2 df, Hz^3: a perfect tone in noise of density N0 reads sqrt(N0 / C * integral) hertz RMS.
  [[nodiscard]] double noise_integral_hz3() const noexcept { return noise_integral_hz3_; }
  // Statistical bandwidth B of that noise: over a time T its power has the relative variance 1 / (B T).
  [[nodiscard]] double noise_bandwidth_hz() const noexcept { return noise_bandwidth_hz_; }

 private:
  static constexpr std::size_t kMostSections = 3;
  void design_sections() noexcept;
  void add_section(const Biquad& section) noexcept;
  void design_taps();
  void measure_settling();
  void integrate_noise() noexcept;
  [[nodiscard]] double sections_gain(double rate_hz) const noexcept;
  [[nodiscard]] double missing(double rate_hz) const noexcept;
  [[nodiscard]] double difference_gain(double rate_hz) const noexcept;

  Config config_;
  std::array<Biquad, kMostSections> sections_{};
  std::size_t section_count_ = 0;
  std::vector<double> taps_;
  std::vector<double> ring_;  // twice the taps' length: the newest lie in a row without a wrap
  std::size_t next_ = 0;
  double settling_s_ = 0.0, noise_integral_hz3_ = 0.0, noise_bandwidth_hz_ = 0.0;
};

}  // namespace four76
