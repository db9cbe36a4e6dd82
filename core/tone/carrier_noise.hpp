// CarrierNoise: the noise beside the tone, read from the tone's in-phase part.
//
// Speed moves the tone's phase and leaves its amplitude alone; noise and interference move both alike. So the spectrum
// of the amplitude (the part in phase with the track) shows the noise around the tone with the wow taken out:
//   one-sided density of (in-phase / A) = N0 / C,   C = A^2 / 2   (derived: additive white noise of density N0).
// The density is the median of the spectrum from 30 Hz to the track's modulation bandwidth, over ln 2 (the median of an
// exponential): lines and the tape's own slow changes of level do not enter it.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "core/signal/fft.hpp"

namespace four76 {

class CarrierNoise {
 public:
  struct Config {
    double point_rate_hz = 1000.0;
    double highest_hz = 250.0;  // flat up to here
    double averaging_s = 2.0;   // of the recent density
  };
  explicit CarrierNoise(const Config& config);
  void reset() noexcept;
  // In-phase parts of consecutive track points; `valid` is false where they must not count.
  void process(std::span<const float> in_phase, bool valid) noexcept;

  // N0/C in 1/Hz; nothing before the first whole frame (a quarter of a second).
  [[nodiscard]] std::optional<double> recent_noise_to_carrier() const noexcept;
  [[nodiscard]] std::optional<double> total_noise_to_carrier() const noexcept;

 private:
  static constexpr std::size_t kSize = 256;
  static constexpr std::size_t kHop = kSize / 2;
  void add_frame() noexcept;
  [[nodiscard]] double density(std::span<const float> power) const noexcept;

  Config config_;
  RealFft fft_;
  std::vector<float> window_, frame_, ring_;
  std::vector<float> newest_;  // spectrum relative to the carrier, 1/Hz
  mutable std::vector<float> scratch_;
  std::size_t first_bin_, last_bin_;
  std::size_t fill_ = 0;
  std::size_t frames_ = 0;
  double total_density_ = 0.0, recent_density_ = 0.0;
};

}  // namespace four76
