// TapeSimulator: the sound of a speed tape played on a worn pocket portable, made from its mechanics.
//
//   speed(t) = (1 + trim(t)) (1 + wow(t)),  tone phase(t) = integral of tone_hz * speed(t) dt
//
// wow(t) is a sum of sinusoids (capstan, pinch roller, supply reel, belt with its second harmonic) and a slow random
// part: Gaussian noise through two equal first-order low-passes. Each part turns with the machine: its rate is the one
// given at 4.76 cm/s, times 1 + trim(t). The trimmer acts through a first-order lag, trim' = (target - trim) / 80 ms.
// Then the level wanders a little and hiss is added: white Gaussian noise whose one-sided density is
// N0 = C 10^(-hiss_dbhz / 10) per hertz, with C = A^2 / 2 the tone's mean power at level_dbfs; over half the sample
// rate that is a variance of N0 * sample_rate_hz / 2 a sample.
//
// Deterministic for a seed, whatever the block sizes. Not a measurement: the machine and its figures are invented, for
// the demo and the tests only.
#pragma once

#include <cstdint>
#include <memory>
#include <span>

namespace four76 {

class TapeSimulator {
 public:
  // Rates follow rate = v / (pi d) at 4.76 cm/s (derived); amplitudes are invented. A part with a peak of 0 is absent.
  struct Config {
    double sample_rate_hz = 48000.0;  // 8000 to 384000
    int channels = 1;                 // 1 or 2, interleaved output; both carry the same tape with own hiss
    double tone_hz = 3000.0;          // recorded on the tape; below 0.4 of the sample rate
    double trim_percent = 1.8;        // where the trimmer stands at first: speed error of the machine
    double level_dbfs = -18.0;        // of the tone; a full-scale sine is 0 dBFS
    double hiss_dbhz = 62.0;          // carrier over noise density, C/N0, in each channel
    double capstan_hz = 7.6, capstan_peak_percent = 0.08;
    double roller_hz = 1.26, roller_peak_percent = 0.10;
    double reel_hz = 0.52, reel_peak_percent = 0.12;
    double belt_hz = 2.9, belt_peak_percent = 0.06, belt_second_percent = 0.025;
    double random_rms_percent = 0.02;   // slow random part, below about 1 Hz
    double amplitude_flutter_db = 0.4;  // the level's slow random changes stay within plus or minus this
    std::uint64_t seed = 476;
  };
  explicit TapeSimulator(const Config& config);
  ~TapeSimulator();
  TapeSimulator(TapeSimulator&&) noexcept;
  TapeSimulator& operator=(TapeSimulator&&) noexcept;

  // Back to the first frame and to the trimmer's first position.
  void reset() noexcept;
  // Turns the trimmer; the machine follows within about 80 ms, as a governed motor does.
  void set_trim_percent(double percent) noexcept;
  // Where the trimmer stands, which the machine may still be on its way to.
  [[nodiscard]] double trim_percent() const noexcept;
  // Fills whole frames; allocates nothing.
  void render(std::span<float> interleaved) noexcept;
  // The truth: true mean tone frequency over all frames rendered since reset (or since mark()), and the speed error of
  // the newest frame (of the first one before any was rendered). Before a frame was rendered since the mark, the mean
  // is the instantaneous frequency.
  [[nodiscard]] double mean_frequency_hz() const noexcept;
  void mark() noexcept;
  [[nodiscard]] double instantaneous_speed_error_percent() const noexcept;
  [[nodiscard]] const Config& config() const noexcept;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace four76
