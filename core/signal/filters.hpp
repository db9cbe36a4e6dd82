// Filters: design of linear-phase low-pass FIRs. Design is separate from state: what comes out is plain taps.
//
// Kaiser's window method (J. F. Kaiser, 1974; the formulas as in Oppenheim and Schafer, "Discrete-Time Signal
// Processing", 7.5.3 - from memory): for a deviation of A dB and a transition of dw radians a sample,
//   beta = 0.1102 (A - 8.7) for A > 50,   taps = (A - 7.95) / (2.285 dw) + 1.
// The pass-band's deviation equals the stop-band's: 80 dB means 1 +- 1e-4, that is +- 0.0009 dB.
#pragma once

#include <complex>
#include <cstddef>
#include <span>
#include <vector>

namespace four76 {

struct LowpassSpec {
  double sample_rate_hz = 48000.0;
  double pass_hz = 600.0;        // flat up to here
  double stop_hz = 1400.0;       // attenuated from here on
  double attenuation_db = 80.0;  // at least 50
};

// Taps of odd length, symmetrical, with a gain of exactly 1 at 0 Hz; delay = (length - 1) / 2 samples.
std::vector<double> design_lowpass(const LowpassSpec& spec);

// H at a frequency given in cycles a sample, counted from the centre tap (real for symmetrical taps).
std::complex<double> frequency_response(std::span<const double> taps, double cycles_per_sample) noexcept;

// Kaiser's window for that deviation and transition, two decibels in hand: the formulas are an approximation, and short
// filters miss them by more than one.
class KaiserWindow {
 public:
  KaiserWindow(double attenuation_db, double transition_hz, double sample_rate_hz) noexcept;
  [[nodiscard]] int half() const noexcept { return half_; }  // taps to either side of the middle one
  // Unscaled: I0(beta) at n = 0.
  [[nodiscard]] double at(int n) const noexcept;

 private:
  double beta_;
  int half_;
};

// The modified Bessel function I0 by its power series.
double bessel_i0(double x) noexcept;

}  // namespace four76
