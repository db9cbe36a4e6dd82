// BandRecord: the newest seconds of the whole search range as an analytic signal at a low rate.
//
//   x --> [low-pass shifted to the nominal, decimate] --> ring
//
// The Kaiser low-pass h is shifted to the nominal, g[k] = 2 h[k] exp(j w (k - L)), and the result is turned back by the
// nominal: a tone at f stands at f - nominal. Flat within 0.1 % over +-25 % of the nominal, 60 dB down where it would
// alias.
#pragma once

#include <complex>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace four76 {

class BandRecord {
 public:
  struct Config {
    double sample_rate_hz = 48000.0;
    double nominal_hz = 3000.0;
    double span_s = 5.0;  // at most so much is kept, and at least half of it
  };
  explicit BandRecord(const Config& config);
  void reset() noexcept;
  void process(std::span<const float> samples) noexcept;

  [[nodiscard]] double rate_hz() const noexcept { return rate_hz_; }
  [[nodiscard]] std::size_t capacity() const noexcept { return ring_.size(); }  // a power of two
  // So long before the newest sample that came in lies the newest of the band: seconds.
  [[nodiscard]] double delay_s() const noexcept;
  // By so many cycles was the newest of the band turned back: 0 to 1.
  [[nodiscard]] double turned_back_cycles() const noexcept { return turned_back_cycles_; }
  // Copies the newest ones, oldest first; returns how many there are, at most `out.size()`.
  std::size_t copy_newest(std::span<std::complex<float>> out) const noexcept;

 private:
  void add() noexcept;

  double sample_rate_hz_, nominal_hz_, rate_hz_;
  std::size_t decimation_;
  std::vector<float> taps_in_phase_, taps_quadrature_;
  std::vector<float> input_;  // the newest taps' worth lies before input_end_
  std::size_t input_end_ = 0, until_output_ = 0;
  std::uint64_t sample_count_ = 0;
  double turned_back_cycles_ = 0.0;
  std::vector<std::complex<float>> ring_;
  std::size_t ring_next_ = 0, ring_size_ = 0;
};

}  // namespace four76
