#include "core/signal/spectrum.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

double decibels(float power) { return 10.0 * std::log10(static_cast<double>(power)); }

std::size_t peak_bin(const AveragedSpectrum& spectrum) {
  const auto power = spectrum.power();
  return static_cast<std::size_t>(std::max_element(power.begin(), power.end()) - power.begin());
}

// Definition in the header: peak amplitude 1 reads 0 dBFS on a bin, and it stands in that bin at every sample rate.
TEST(AveragedSpectrum, ReadsAFullScaleSineAsZeroDbfs) {
  for (const double rate_hz : {8000.0, 16000.0, 44100.0, 48000.0, 96000.0, 192000.0}) {
    AveragedSpectrum spectrum({.sample_rate_hz = rate_hz, .size = 4096});
    const double bin_hz = rate_hz / 4096.0;
    const auto bin = static_cast<std::size_t>(3000.0 / bin_hz);
    spectrum.process(test::tone(static_cast<double>(bin) * bin_hz, 8192.0 / rate_hz, rate_hz, 1.0));
    ASSERT_TRUE(spectrum.ready());
    EXPECT_DOUBLE_EQ(spectrum.bin_hz(), bin_hz);
    EXPECT_EQ(peak_bin(spectrum), bin) << rate_hz;
    EXPECT_NEAR(decibels(spectrum.power()[bin]), 0.0, 0.01) << rate_hz;
  }
}

// Hann's scalloping loss is 1.42 dB half way between two bins (Harris 1978).
TEST(AveragedSpectrum, LosesHannsScallopingBetweenBins) {
  AveragedSpectrum spectrum({.sample_rate_hz = 48000.0, .size = 4096});
  const double bin_hz = 48000.0 / 4096.0;
  spectrum.process(test::tone(256.5 * bin_hz, 0.2, 48000.0, 1.0));
  EXPECT_NEAR(decibels(spectrum.power()[256]), -1.42, 0.02);
  EXPECT_NEAR(decibels(spectrum.power()[257]), -1.42, 0.02);
}

// White noise of variance s^2 holds s^2 / (1/2) full-scale sines' power over half the rate; a bin collects 1.5 bins of
// it.
TEST(AveragedSpectrum, ReadsNoiseByItsDensity) {
  AveragedSpectrum spectrum({.sample_rate_hz = 48000.0, .size = 1024, .averaging_s = 100.0});
  std::vector<float> noise(48000 * 4);
  test::add_noise(noise, 0.1, 5);
  spectrum.process(noise);
  double mean = 0.0;
  for (std::size_t k = 4; k + 4 < spectrum.power().size(); ++k)
    mean += static_cast<double>(spectrum.power()[k]) / static_cast<double>(spectrum.power().size() - 8);
  const double expected = 0.01 / 0.5 * kHannNoiseBandwidthBins * (48000.0 / 1024.0) / 24000.0;
  EXPECT_NEAR(10.0 * std::log10(mean / expected), 0.0, 0.1);
}

TEST(AveragedSpectrum, IsZeroForSilenceAndNotReadyBeforeAFrame) {
  AveragedSpectrum spectrum({.sample_rate_hz = 48000.0, .size = 1024});
  spectrum.process(std::vector<float>(1023));
  EXPECT_FALSE(spectrum.ready());
  spectrum.process(std::vector<float>(1));
  EXPECT_TRUE(spectrum.ready());
  for (const float power : spectrum.power()) EXPECT_EQ(power, 0.0F);
}

TEST(AveragedSpectrum, KeepsNoMoreThanAskedForOrThereIs) {
  AveragedSpectrum wide({.sample_rate_hz = 48000.0, .size = 1024, .highest_hz = 10000.0});
  EXPECT_EQ(wide.power().size(), static_cast<std::size_t>(10000.0 / (48000.0 / 1024.0)) + 1);
  AveragedSpectrum narrow({.sample_rate_hz = 8000.0, .size = 1024, .highest_hz = 10000.0});
  EXPECT_EQ(narrow.power().size(), 513u);
}

TEST(AveragedSpectrum, DoesNotDependOnTheBlocks) {
  auto x = test::tone(1234.5, 0.5, 44100.0, 0.3);
  test::add_noise(x, 0.05, 6);
  std::vector<std::vector<float>> results;
  for (const std::size_t piece : {1u, 128u, 4096u}) {
    AveragedSpectrum spectrum({.sample_rate_hz = 44100.0, .size = 2048});
    test::feed(spectrum, x, piece);
    results.emplace_back(spectrum.power().begin(), spectrum.power().end());
  }
  EXPECT_EQ(results[0], results[1]);
  EXPECT_EQ(results[0], results[2]);
}

TEST(AveragedSpectrum, ForgetsWithItsTimeConstantAndAtReset) {
  AveragedSpectrum spectrum({.sample_rate_hz = 48000.0, .size = 1024, .averaging_s = 1.0});
  const double bin_hz = 48000.0 / 1024.0;
  spectrum.process(test::tone(64.0 * bin_hz, 8.0, 48000.0, 1.0));
  spectrum.process(std::vector<float>(48000 * 2));
  // exp(-2) of the power is left after two time constants: -8.69 dB.
  EXPECT_NEAR(decibels(spectrum.power()[64]), -8.69, 0.15);
  spectrum.reset();
  EXPECT_FALSE(spectrum.ready());
  EXPECT_EQ(*std::max_element(spectrum.power().begin(), spectrum.power().end()), 0.0F);
}

TEST(ParabolicPeak, FindsTheTopOfAParabola) {
  const auto at = [](double x) { return 5.0 - 2.0 * (x - 0.3) * (x - 0.3); };
  const auto peak = parabolic_peak(at(-1.0), at(0.0), at(1.0));
  EXPECT_NEAR(peak.offset_bins, 0.3, 1e-12);
  EXPECT_NEAR(at(0.0) + peak.rise, 5.0, 1e-12);
}

TEST(ParabolicPeak, StaysInTheMiddleWhereThereIsNoTop) {
  for (const auto& peak : {parabolic_peak(1.0, 1.0, 1.0), parabolic_peak(3.0, 1.0, 3.0)}) {
    EXPECT_EQ(peak.offset_bins, 0.0);
    EXPECT_EQ(peak.rise, 0.0);
  }
  EXPECT_LE(std::abs(parabolic_peak(0.0, 1.0, 1.9).offset_bins), 0.5);
}

TEST(HannWindow, IsPeriodicWithANoiseBandwidthOfOneAndAHalfBins) {
  const auto window = hann_window(256);
  double sum = 0.0;
  double square = 0.0;
  for (const float w : window) {
    sum += static_cast<double>(w);
    square += static_cast<double>(w) * static_cast<double>(w);
  }
  EXPECT_EQ(window[0], 0.0F);
  EXPECT_EQ(window[128], 1.0F);
  EXPECT_NEAR(256.0 * square / (sum * sum), kHannNoiseBandwidthBins, 1e-6);
}

}  // namespace
}  // namespace four76
