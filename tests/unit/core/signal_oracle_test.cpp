// The signal blocks against libraries that know nothing of them: FFTW (double precision) and liquid-dsp.
#include <fftw3.h>
#include <gtest/gtest.h>
#include <liquid/liquid.h>

#include <algorithm>
#include <cmath>
#include <span>
#include <vector>

#include "core/signal/filters.hpp"
#include "core/signal/spectrum.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

// Mean of Hann-windowed periodograms of frames side by side, in the units of the header: 1 = full-scale sine.
std::vector<double> mean_periodogram(std::span<const float> x, std::size_t size) {
  std::vector<double> frame(size);
  std::vector<double> half(size);  // FFTW's half-complex order: real parts up, imaginary parts down
  std::vector<double> power(size / 2 + 1);
  const fftw_plan plan = fftw_plan_r2r_1d(static_cast<int>(size), frame.data(), half.data(), FFTW_R2HC, FFTW_ESTIMATE);
  const std::size_t frames = x.size() / size;
  for (std::size_t i = 0; i < frames; ++i) {
    for (std::size_t n = 0; n < size; ++n) {
      const double s = std::sin(0.5 * test::kTwoPi * static_cast<double>(n) / static_cast<double>(size));
      frame[n] = static_cast<double>(x[i * size + n]) * s * s;
    }
    fftw_execute(plan);
    for (std::size_t k = 0; k < power.size(); ++k) {
      const double im = k == 0 || k == size / 2 ? 0.0 : half[size - k];
      power[k] += (half[k] * half[k] + im * im) * 16.0 / (static_cast<double>(size) * static_cast<double>(size)) /
                  static_cast<double>(frames);
    }
  }
  fftw_destroy_plan(plan);
  return power;
}

// The first frames are a plain mean (an averaging time of hours keeps it so).
TEST(SignalOracle, AveragedSpectrumAgreesWithFftw) {
  auto x = test::tone(3012.3, 0.7, 48000.0, 0.3);
  test::add_noise(x, 0.01, 12);
  x.resize(x.size() / 2048 * 2048);
  AveragedSpectrum spectrum({.sample_rate_hz = 48000.0, .size = 2048, .averaging_s = 1e6});
  spectrum.process(x);
  const auto expected = mean_periodogram(x, 2048);
  for (std::size_t k = 0; k < spectrum.power().size(); ++k)
    ASSERT_NEAR(static_cast<double>(spectrum.power()[k]), expected[k], 1e-5 * expected[k] + 1e-11) << k;
}

// liquid's windowed sinc with its own Kaiser window: the window's ends are counted differently by one tap, so the
// responses agree where they are large; both must stop what they promise to.
TEST(SignalOracle, LowpassAgreesWithLiquid) {
  const LowpassSpec spec{48000.0, 550.0, 900.0, 80.0};
  const auto ours = design_lowpass(spec);
  std::vector<float> theirs(ours.size());
  const double cutoff = 0.5 * (spec.pass_hz + spec.stop_hz) / spec.sample_rate_hz;
  liquid_firdes_kaiser(static_cast<unsigned>(theirs.size()), static_cast<float>(cutoff),
                       static_cast<float>(spec.attenuation_db), 0.0F, theirs.data());
  double sum = 0.0;
  for (const float tap : theirs) sum += static_cast<double>(tap);
  const double largest = *std::max_element(ours.begin(), ours.end());
  for (std::size_t k = 0; k < ours.size(); ++k)
    EXPECT_NEAR(ours[k], static_cast<double>(theirs[k]) / sum, 0.005 * largest) << k;
}

}  // namespace
}  // namespace four76
