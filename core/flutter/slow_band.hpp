// SlowBand: what lies below 4 Hz in the spectrum of a weighed record, as a series of few points in time again.
//
//   bins of the record, 0 to 4 Hz --> inverse transform of 2048 --> z[m] = w[m] a exp(j theta(t[m]))
//
// Only positive rates are taken, so that a sine of peak a becomes one turning pointer of length a, times the record's
// weights w. t is 0 in the middle of the record. A pointer whose rate moves is followed by turning the series against
// it:
//
//   X(f, c) = sum z exp(-j 2 pi (f t + c t^2 / 2 + c^2 t^3 / (2 f))) / sum w
//
// is the sine's peak where f and c are its own. The cubic term is a reel's: its rate bends by 3 c^2 / f (derived from
// r^2 = r0^2 + v t d / pi), and so do its harmonics'. The f and c that make |X| largest are found on a grid of c, a
// transform for each, and made exact by Gauss-Newton steps on the phase, weighed by w (derived: the phase is off by
// d_phi + 2 pi d_f t + pi d_c t^2).
//
// What is left then of the pointer's own wander: x = z exp(-j theta) / (w a) is 1 all along for such a sine. Its parts
// along polynomials that are orthonormal over w, imaginary for the phase in radians, real for the strength.
#pragma once

#include <array>
#include <complex>
#include <cstddef>
#include <span>
#include <vector>

#include "core/signal/fft.hpp"

namespace four76 {

struct MovingSine {
  double rate_hz = 0.0;  // in the middle of the record
  double change_hz_per_s = 0.0;
  std::complex<double> amplitude;  // its length is the peak
};

class SlowBand {
 public:
  static constexpr double kHighestHz = 4.0;

  SlowBand();
  // Of a record of `size` points at `point_rate_hz`, `length` of them filled: the transform of it times its weights,
  // and that of the weights, or nothing where they are Hann's window.
  void load_weights(std::span<const std::complex<float>> bins) noexcept;
  void load_hann() noexcept;
  struct Record {
    double point_rate_hz = 500.0;
    std::size_t size = 65536, length = 30000;
  };
  void set_record(const Record& record) noexcept;
  void load(std::span<const std::complex<float>> bins) noexcept;

  // What is left once sines are taken out: all of it after load().
  void add(const MovingSine& sine, double sign) noexcept;

  // X of what is left.
  [[nodiscard]] std::complex<double> at(double rate_hz, double change_hz_per_s) const noexcept;
  // The largest |X| near a rate, over changes up to `most_change`; on the grid.
  struct Reach {
    double rate_hz = 0.0, reach_hz = 0.0;  // the rate in the middle: so far to either side
    double middle_change = 0.0, most_change = 0.0;
  };
  [[nodiscard]] MovingSine search(const Reach& reach) noexcept;
  // From near its own, the change held where `moves` is false.
  [[nodiscard]] MovingSine refine(MovingSine sine, bool moves) const noexcept;

  // The polynomials' parts of a sine that is not taken out, and what noise reads in each, over what it reads in the
  // sine's own amplitude.
  static constexpr std::size_t kOrders = 9;
  struct Shape {
    std::array<std::complex<double>, kOrders> parts{};
    std::array<double, kOrders> noise{};
    double change_per_radian = 0.0;  // hertz a second: what the part of second order would be as a change
  };
  [[nodiscard]] Shape shape(const MovingSine& sine) const noexcept;

  [[nodiscard]] double span_s() const noexcept { return span_s_; }

 private:
  static constexpr std::size_t kSize = 2048;
  static constexpr std::size_t kMoments = 5;
  struct Sums {
    std::complex<double> by_power[3];
  };
  std::span<const std::complex<float>> inverse(std::span<const std::complex<float>> bins) noexcept;
  void measure_weights() noexcept;
  void make_polynomials() noexcept;
  void evaluate_polynomials(std::size_t m, std::array<double, kOrders>& q) const noexcept;
  [[nodiscard]] double time_s(std::size_t m) const noexcept { return static_cast<double>(m) * step_s_ - middle_s_; }
  [[nodiscard]] Sums sums(const MovingSine& sine) const noexcept;

  ComplexFft fft_;
  std::vector<std::complex<float>> frame_;
  std::vector<std::complex<double>> left_;
  std::vector<double> weights_;
  std::array<double, kMoments> moments_{};  // sums of w (t / span)^k
  // q[k + 1] = ((t / span - centre[k]) q[k] - lead[k] q[k - 1]) / lead[k + 1],  q[0] = 1
  std::array<double, kOrders> centre_{}, lead_{}, noise_{};
  double over_size_ = 1.0, bin_hz_ = 1.0, step_s_ = 1.0, middle_s_ = 0.0, span_s_ = 1.0;
  std::size_t count_ = 0;  // points of the record
};

}  // namespace four76
