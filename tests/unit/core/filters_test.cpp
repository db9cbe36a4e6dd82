#include "core/signal/filters.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

namespace four76 {
namespace {

// The response of symmetrical taps by Chebyshev's recursion cos(n x) = 2 cos(x) cos((n-1) x) - cos((n-2) x).
double response(const std::vector<double>& taps, double cycles_per_sample) {
  const std::size_t middle = taps.size() / 2;
  const double c = std::cos(2.0 * std::numbers::pi * cycles_per_sample);
  double before = 1.0;
  double now = c;
  double sum = taps[middle];
  for (std::size_t n = 1; n <= middle; ++n) {
    sum += (taps[middle + n] + taps[middle - n]) * now;
    const double next = 2.0 * c * now - before;
    before = now;
    now = next;
  }
  return sum;
}

double decibels(double ratio) { return 20.0 * std::log10(std::abs(ratio)); }

struct Extremes {
  double ripple_db = 0.0;      // largest deviation in the pass band, from 0 dB
  double leakage_db = -400.0;  // largest gain in the stop band
};
Extremes extremes_of(const std::vector<double>& taps, const LowpassSpec& spec) {
  Extremes found;
  constexpr int kSteps = 800;
  for (int i = 0; i <= kSteps; ++i) {
    const double share = static_cast<double>(i) / kSteps;
    const double pass = share * spec.pass_hz;
    const double stop = spec.stop_hz + share * (spec.sample_rate_hz / 2.0 - spec.stop_hz);
    found.ripple_db = std::max(found.ripple_db, std::abs(decibels(response(taps, pass / spec.sample_rate_hz))));
    found.leakage_db = std::max(found.leakage_db, decibels(response(taps, stop / spec.sample_rate_hz) + 1e-20));
  }
  return found;
}

// Promised are a ripple under 0.01 dB and a stop band over 80 dB; the edges are those of the tone track at the
// rates that occur, and some odd ones.
TEST(Filters, LowpassKeepsRippleAndStopBand) {
  const std::vector<LowpassSpec> specs = {
      {8000.0, 550.0, 900.0, 80.0},     {16000.0, 550.0, 900.0, 80.0},  {44100.0, 565.0, 915.0, 80.0},
      {48000.0, 550.0, 900.0, 80.0},    {96000.0, 550.0, 900.0, 80.0},  {192000.0, 1250.0, 1600.0, 80.0},
      {2000.0, 260.0, 740.0, 80.0},     {4000.0, 260.0, 740.0, 80.0},   {48000.0, 50.0, 90.0, 80.0},
      {48000.0, 9000.0, 11000.0, 80.0}, {48000.0, 600.0, 1400.0, 100.0}};
  for (const LowpassSpec& spec : specs) {
    const auto taps = design_lowpass(spec);
    const Extremes found = extremes_of(taps, spec);
    EXPECT_LT(found.ripple_db, 0.01) << spec.sample_rate_hz << " Hz, pass " << spec.pass_hz;
    EXPECT_LT(found.leakage_db, -spec.attenuation_db) << spec.sample_rate_hz << " Hz, stop " << spec.stop_hz;
  }
}

TEST(Filters, LowpassIsSymmetricalOfOddLengthWithUnityGainAtDc) {
  const auto taps = design_lowpass({48000.0, 550.0, 900.0, 80.0});
  ASSERT_EQ(taps.size() % 2, 1u);
  double sum = 0.0;
  for (std::size_t k = 0; k < taps.size(); ++k) {
    sum += taps[k];
    EXPECT_DOUBLE_EQ(taps[k], taps[taps.size() - 1 - k]);
  }
  EXPECT_NEAR(sum, 1.0, 1e-12);
}

// The window method's cut-off, half way between the edges, is 6.02 dB down (derived: the step of an ideal low-pass seen
// through a symmetrical window).
TEST(Filters, LowpassIsHalfWayDownInTheMiddleOfItsTransition) {
  const auto taps = design_lowpass({48000.0, 550.0, 900.0, 80.0});
  EXPECT_NEAR(response(taps, 725.0 / 48000.0), 0.5, 1e-3);
}

TEST(Filters, FrequencyResponseAgreesWithTheRecursion) {
  const auto taps = design_lowpass({44100.0, 550.0, 900.0, 80.0});
  for (const double hz : {0.0, 100.0, 550.0, 725.0, 900.0, 5000.0, 22050.0}) {
    const auto h = frequency_response(taps, hz / 44100.0);
    EXPECT_NEAR(h.real(), response(taps, hz / 44100.0), 1e-12);
    EXPECT_NEAR(h.imag(), 0.0, 1e-12);
  }
}

// I0(x) = (1/pi) integral of exp(x cos a) over 0 to pi (Abramowitz and Stegun 9.6.16, from memory): the trapezium rule
// on a periodic function converges faster than any power.
TEST(Filters, BesselI0AgreesWithItsIntegral) {
  for (const double x : {0.0, 0.1, 1.0, 5.0, 7.9, 12.0, 20.0}) {
    constexpr int kSteps = 400;
    double sum = 0.0;
    for (int i = 0; i < 2 * kSteps; ++i) sum += std::exp(x * std::cos(std::numbers::pi * i / kSteps));
    EXPECT_NEAR(bessel_i0(x) / (sum / (2.0 * kSteps)), 1.0, 1e-12) << x;
  }
}

}  // namespace
}  // namespace four76
