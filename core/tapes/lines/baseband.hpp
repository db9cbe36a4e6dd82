// Baseband: a band of real samples as complex samples about its centre, decimated.
//
//   y(m) = exp(-j w m D) sum_k 2 h[k] exp(j w k) x(m D - k),  h a Kaiser low-pass (filters.hpp), 60 dB
//
// The sum is the analytic band at each D-th sample; the factor ahead of it brings its centre to 0 Hz.
#pragma once

#include <complex>
#include <cstddef>
#include <span>
#include <vector>

namespace four76 {

class Baseband {
 public:
  struct Config {
    double sample_rate_hz = 48000.0;
    int channels = 1;
    double centre_hz = 15680.0;
    double pass_hz = 1310.0;        // to either side
    double least_rate_hz = 3000.0;  // of the output: it is this or a little above
  };
  explicit Baseband(const Config& config);

  // One frame of samples, not finite ones as silence. True: outputs are ready, one a channel.
  bool push(std::span<const float> frame) noexcept;
  [[nodiscard]] std::complex<float> output(int channel) const noexcept;

  [[nodiscard]] double rate_hz() const noexcept { return rate_hz_; }
  [[nodiscard]] double delay_s() const noexcept { return delay_s_; }

 private:
  std::size_t channels_, decimation_, room_;
  double rate_hz_, delay_s_ = 0.0, turn_cycles_ = 0.0, cycles_ = 0.0;
  std::vector<float> in_phase_, quadrature_;  // taps, the newest sample's last
  std::vector<float> input_;                  // `room_` a channel
  std::size_t end_ = 0, until_output_ = 0;
};

}  // namespace four76
