#include "core/signal/filters.hpp"

#include <cassert>
#include <cmath>
#include <numbers>

namespace four76 {

using std::numbers::pi;

double bessel_i0(double x) noexcept {
  const double quarter_square = x * x / 4.0;
  double term = 1.0;
  double sum = 1.0;
  for (int k = 1; k < 200 && term > sum * 1e-17; ++k) {
    term *= quarter_square / (static_cast<double>(k) * k);
    sum += term;
  }
  return sum;
}

KaiserWindow::KaiserWindow(double attenuation_db, double transition_hz, double sample_rate_hz) noexcept {
  const double in_hand_db = attenuation_db + 2.0;
  beta_ = 0.1102 * (in_hand_db - 8.7);
  const double transition = 2.0 * pi * transition_hz / sample_rate_hz;
  half_ = static_cast<int>(std::ceil((in_hand_db - 7.95) / (2.285 * transition) / 2.0));
}

double KaiserWindow::at(int n) const noexcept {
  const double edge = static_cast<double>(n) / (half_ + 1);
  return bessel_i0(beta_ * std::sqrt(1.0 - edge * edge));
}

std::vector<double> design_lowpass(const LowpassSpec& spec) {
  assert(spec.pass_hz > 0.0 && spec.stop_hz > spec.pass_hz && spec.stop_hz <= spec.sample_rate_hz / 2.0 + 1e-9 &&
         "a low-pass needs 0 < pass < stop <= half the rate");
  assert(spec.attenuation_db >= 50.0 && "the formula for beta holds above 50 dB");
  const KaiserWindow window(spec.attenuation_db, spec.stop_hz - spec.pass_hz, spec.sample_rate_hz);
  const int half = window.half();
  const double cutoff = (spec.pass_hz + spec.stop_hz) / spec.sample_rate_hz;  // twice the cut-off in cycles a sample

  std::vector<double> taps(static_cast<std::size_t>(2 * half + 1));
  double sum = 0.0;
  for (int n = -half; n <= half; ++n) {
    const double x = pi * cutoff * n;
    const double sinc = n == 0 ? 1.0 : std::sin(x) / x;
    const double tap = sinc * window.at(n);
    taps[static_cast<std::size_t>(n + half)] = tap;
    sum += tap;
  }
  for (double& tap : taps) tap /= sum;
  return taps;
}

std::complex<double> frequency_response(std::span<const double> taps, double cycles_per_sample) noexcept {
  const double centre = (static_cast<double>(taps.size()) - 1.0) / 2.0;
  std::complex<double> sum = 0.0;
  for (std::size_t k = 0; k < taps.size(); ++k)
    sum += taps[k] * std::polar(1.0, -2.0 * pi * cycles_per_sample * (static_cast<double>(k) - centre));
  return sum;
}

}  // namespace four76
