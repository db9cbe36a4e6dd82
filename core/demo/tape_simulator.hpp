// TapeSimulator: the sound of a speed tape played on a worn pocket portable, made from its mechanics.
//
// speed(t) = (1 + trim) (1 + sum of sinusoids: capstan, pinch roller, supply reel, belt with harmonics, + a slow random
// walk), tone phase = integral of nominal_hz * speed(t); then hiss, and what a small loudspeaker in a room adds.
// Deterministic for a seed. Not a measurement: its figures are invented, for the demo and the tests only.
#pragma once

#include <cstdint>
#include <memory>
#include <span>

namespace four76 {

class TapeSimulator {
 public:
  // Rates follow rate = v / (pi d) at 4.76 cm/s (derived); amplitudes are invented.
  struct Config {
    double sample_rate_hz = 48000.0;
    int channels = 1;                      // 1 or 2, interleaved output; both carry the same tape with own hiss
    double tone_hz = 3000.0;               // recorded on the tape
    double trim_percent = 1.8;             // where the trimmer stands at first: speed error of the machine
    double level_dbfs = -18.0;             // of the tone's peak amplitude
    double hiss_dbhz = 62.0;               // carrier over noise density, C/N0
    double capstan_hz = 7.6, capstan_peak_percent = 0.08;
    double roller_hz = 1.26, roller_peak_percent = 0.10;
    double reel_hz = 0.52, reel_peak_percent = 0.12;
    double belt_hz = 2.9, belt_peak_percent = 0.06, belt_second_percent = 0.025;
    double random_rms_percent = 0.02;      // slow random part, below about 1 Hz
    double amplitude_flutter_db = 0.4;     // peak, slow random level changes
    std::uint64_t seed = 476;
  };
  explicit TapeSimulator(const Config& config);
  ~TapeSimulator();
  TapeSimulator(TapeSimulator&&) noexcept;
  TapeSimulator& operator=(TapeSimulator&&) noexcept;

  void reset() noexcept;
  // Turns the trimmer; the machine follows within about 80 ms, as a governed motor does.
  void set_trim_percent(double percent) noexcept;
  [[nodiscard]] double trim_percent() const noexcept;
  // Fills whole frames; allocates nothing.
  void render(std::span<float> interleaved) noexcept;
  // The truth: true mean tone frequency over all frames rendered since reset (or since mark()), and the present
  // instantaneous speed error.
  [[nodiscard]] double mean_frequency_hz() const noexcept;
  void mark() noexcept;
  [[nodiscard]] double instantaneous_speed_error_percent() const noexcept;
  [[nodiscard]] const Config& config() const noexcept;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace four76
