// FlutterPeaks: the rates that stand out of a spectrum of the speed deviation.
//
// A peak is a local maximum that
// - stands out of the noise: of the continuum around it (median over 16 resolution widths or 15 % of its rate to either
//   side, over ln 2, as noise's power is exponential) and of the tone's own noise. It must exceed that mean power by
//   ln(bins / 0.01), so that noise alone makes one peak in a hundred spectra, and by another 1.2 because the mean
//   itself is uncertain;
// - is no side lobe of a stronger one: it exceeds twice what the window leaks there, voids in the record included;
// - is parted from each stronger one by a valley of half its amplitude: a reel whose rate moves leaves a ridge, and the
//   ridge is one peak.
// Rate and height by the parabola through the logarithms of three bins; bins are at most half a resolution width apart,
// where the bias is below 0.003 widths and 0.2 % (tested).
//
// Uncertainty, of a sine of peak A in noise that reads a mean square of P in a bin (amplitude squared), Hann's window
// of span T (derived from the window's moments):
//   sigma_A = sqrt(P / 2),   sigma_f = 0.689 sigma_A / (A T).
#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <vector>

namespace four76 {

struct FlutterPeak {
  double rate_hz = 0.0;
  double rate_u95_hz = 0.0;
  double peak_percent = 0.0;  // of the sinusoidal component; too little where it is not steady
  double peak_u95_percent = 0.0;
  bool steady = true;   // as narrow as a sine is; false: its rate or strength moved
  bool moving = false;  // its rate changes evenly (a reel's): strength and uncertainty are those of the moving sine
  double change_hz_per_minute = 0.0;  // of the rate, where moving; rate_hz is that at the middle of the span
  double change_u95_hz_per_minute = 0.0;
  bool foreign = false;  // a line beside the tone makes it, hum for instance, and no part of the machine
};

// All over the same bins, from 0 Hz on.
struct DeviationSpectrum {
  std::span<const float> power;    // squared peak percent of a sine there
  std::span<const float> leakage;  // amplitude of the window's own transform, 1 at 0 Hz
  double bin_hz = 0.0;
  double span_s = 0.0;         // T: of the window
  double lowest_hz = 0.1;      // peaks from here
  double noise_power_hz2 = 0;  // the tone's noise reads this times the rate squared
};

class FlutterPeaks {
 public:
  static constexpr std::size_t kMost = 24;
  FlutterPeaks();
  // Strongest first; valid until the next call.
  std::span<const FlutterPeak> find(const DeviationSpectrum& spectrum) noexcept;
  // Mean power of the noise around a rate in the spectrum given last.
  [[nodiscard]] double floor_at(double rate_hz) const noexcept;
  // What a peak's power must reach, over that mean.
  [[nodiscard]] double told_over_floor() const noexcept;

 private:
  struct Candidate {
    std::size_t bin = 0;
    double power = 0.0;
  };
  static constexpr std::size_t kFloors = 96;
  static constexpr std::size_t kMostSampled = 256;
  static constexpr std::size_t kMostCandidates = 512;
  void measure_floors() noexcept;
  void gather_candidates() noexcept;
  [[nodiscard]] bool stands_alone(const Candidate& candidate) const noexcept;
  [[nodiscard]] double leakage_near(std::size_t distance) const noexcept;
  [[nodiscard]] FlutterPeak measure(std::size_t bin) const noexcept;
  [[nodiscard]] std::size_t width_bins() const noexcept;

  DeviationSpectrum spectrum_;
  std::array<double, kFloors> floors_{};  // at rates spaced evenly over the logarithm
  std::vector<float> sample_;
  std::vector<Candidate> candidates_;
  std::size_t candidate_count_ = 0;
  std::array<std::size_t, kMost> bins_{};  // of the peaks found so far
  std::array<FlutterPeak, kMost> peaks_{};
  std::size_t peak_count_ = 0;
};

}  // namespace four76
