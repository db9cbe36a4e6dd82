// ToneTrack: the tone as an analytic signal at about 1 kHz, followed without losing cycles.
//
//   x --> [band filter, analytic, decimate] --> a(t) --> x exp(-j phi_pred) --> [low-pass, decimate] --> point
//                                                 |                ^
//                                                 +--> phase-locked loop, second order
//
// - The band filter is a Kaiser low-pass h shifted to the tone: g[k] = 2 h[k] exp(j w (k - L)). It mixes, removes the
//   negative frequencies and decimates in one pass; its output is the analytic signal itself at the filter's centre, so
//   retuning it leaves no step in the phase. Flat to +-(10 % of the nominal + 250 Hz), for swings of +-10 %.
// - The loop predicts the phase; taking the prediction out before the second filter lets that one be narrow: flat to
//   +-260 Hz, at least 80 dB down where it would alias. The prediction is delayed by the second filter's exact delay
//   and added back, so a point's phase does not depend on the loop.
// - Ripple of both filters within +-0.0009 dB, stop-band at least 80 dB (see filters.hpp).
// - Modulation up to 250 Hz passes flat for nominals from 625 Hz; below that up to 40 % of the nominal, where the
//   tone's own mirror image and the hum set the limit.
// - The loop's noise bandwidth follows the carrier-to-noise density that it sees, 10 to 250 Hz, more for tones above
//   3 kHz (Gardner, Phaselock Techniques: B_n = 0.53 w_n at a damping of 0.707), so that cycles are kept at 35 dB-Hz as
//   well as through +-10 % swings of a clean tone.
#pragma once

#include <complex>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace four76 {

struct TrackPoint {
  double time_s = 0.0;            // of the sample at the filters' centre
  double predicted_cycles = 0.0;  // the loop's phase, unwrapped
  std::complex<float> residual;   // the tone seen from there: magnitude = peak amplitude (1 = full scale);
                                  // phase = predicted_cycles + arg(residual) / (2 pi)
};

class ToneTrack {
 public:
  struct Config {
    double sample_rate_hz = 48000.0;
    double nominal_hz = 3000.0;
  };
  static constexpr std::size_t kLargestBlock = 1024;

  explicit ToneTrack(const Config& config);

  // Starts to follow a tone at that frequency, forgetting all history; the next sample has index `first_sample`.
  void lock(double frequency_hz, std::uint64_t first_sample) noexcept;
  // At most kLargestBlock samples. The points lie in the track's own memory until the next call.
  std::span<const TrackPoint> process(std::span<const float> samples) noexcept;

  [[nodiscard]] double point_rate_hz() const noexcept { return point_rate_hz_; }
  // So long before the newest sample that it rests on lies a point's centre.
  [[nodiscard]] double delay_s() const noexcept { return delay_s_; }
  [[nodiscard]] double frequency_hz() const noexcept { return loop_hz_; }
  [[nodiscard]] double modulation_bandwidth_hz() const noexcept { return modulation_hz_; }
  // Two-sided noise bandwidth of a point, hertz.
  [[nodiscard]] double noise_bandwidth_hz() const noexcept { return noise_bandwidth_hz_; }

 private:
  void tune(double centre_hz) noexcept;
  [[nodiscard]] std::complex<double> band_output() const noexcept;
  void step_loop(std::complex<double> analytic, std::uint64_t newest_sample) noexcept;
  void follow(std::complex<double> seen) noexcept;
  void set_loop_bandwidth(double noise_bandwidth_hz) noexcept;
  void emit(std::uint64_t newest_sample) noexcept;

  // Design.
  double sample_rate_hz_, nominal_hz_;
  std::size_t decimation_, second_decimation_;
  double band_rate_hz_ = 0.0, point_rate_hz_ = 0.0, delay_s_ = 0.0, modulation_hz_ = 0.0, noise_bandwidth_hz_ = 0.0;
  double most_loop_hz_ = 0.0;
  double band_noise_hz_ = 0.0;          // two-sided noise bandwidth of the band filter
  double band_step_correlation_ = 0.0;  // of its noise from one output to the next
  std::vector<double> prototype_;
  std::vector<float> second_taps_;

  // State of the band filter: the newest `prototype_.size()` samples lie before `input_end_`.
  double centre_hz_ = 0.0;
  std::vector<float> taps_in_phase_, taps_quadrature_;
  std::vector<float> input_;
  std::size_t input_end_ = 0;
  std::uint64_t sample_count_ = 0, first_full_ = 0;
  std::size_t until_output_ = 0;

  // State of the loop.
  double loop_cycles_ = 0.0, loop_hz_ = 0.0, gain_phase_ = 0.0, gain_hz_ = 0.0;
  double amplitude_ = 0.0, step_power_ = 0.0, previous_in_phase_ = 0.0, slow_hz_ = 0.0;
  bool loop_started_ = false;
  std::size_t loop_steps_ = 0;

  // State of the second filter: rings of derotated samples and of the predictions they were derotated by.
  std::vector<std::complex<float>> derotated_;
  std::vector<double> predictions_;
  std::size_t ring_next_ = 0;
  std::size_t until_point_ = 0;
  std::vector<TrackPoint> points_;
  std::size_t point_count_ = 0;
};

}  // namespace four76
