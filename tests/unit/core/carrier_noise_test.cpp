#include "core/tone/carrier_noise.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "tests/unit/core/test_signals.hpp"
#include "tests/unit/core/tracked.hpp"

namespace four76 {
namespace {

double dbhz_of(const CarrierNoise& noise) { return -10.0 * std::log10(noise.total_noise_to_carrier().value_or(1e-30)); }

// The whole way from a sound of known C/N0: C = A^2 / 2 over the one-sided density (sources.md#the-cramer-rao-bound).
TEST(CarrierNoise, ReadsWithinHalfADecibelFrom35To80DbHz) {
  for (const double rate_hz : {8000.0, 44100.0, 48000.0})
    for (const double dbhz : {35.0, 40.0, 50.0, 60.0, 70.0, 80.0}) {
      auto x = test::tone(3007.0, 20.0, rate_hz, 0.1);
      test::add_noise_dbhz(x, 0.1, dbhz, rate_hz, 31);
      EXPECT_NEAR(dbhz_of(test::knots_of(x, rate_hz, 3000.0, 3007.0).noise), dbhz, 0.5) << rate_hz;
    }
}

TEST(CarrierNoise, ReadsLowTonesToo) {
  for (const double nominal_hz : {315.0, 440.0, 1000.0, 6300.0}) {
    auto x = test::tone(nominal_hz, 20.0, 48000.0, 0.1);
    test::add_noise_dbhz(x, 0.1, 60.0, 48000.0, 32);
    EXPECT_NEAR(dbhz_of(test::knots_of(x, 48000.0, nominal_hz, nominal_hz).noise), 60.0, 0.7) << nominal_hz;
  }
}

// Speed moves the phase and leaves the amplitude: wow of 0.3 % at 4 Hz, and flutter of 0.1 % at 60 Hz.
TEST(CarrierNoise, IsNotDisturbedByWow) {
  for (const double dbhz : {40.0, 60.0, 75.0}) {
    const test::SineWow slow{.mean_hz = 3000.0, .peak = 0.003, .rate_hz = 4.0};
    const test::SineWow fast{.mean_hz = 0.0, .peak = 0.001, .rate_hz = 60.0};
    auto x = test::sound_of(
        [&](double t) {
          return slow(t) + 3000.0 * fast.peak / (test::kTwoPi * 60.0) * std::sin(test::kTwoPi * 60.0 * t);
        },
        20.0, 16000.0, 0.1);
    test::add_noise_dbhz(x, 0.1, dbhz, 16000.0, 33);
    EXPECT_NEAR(dbhz_of(test::knots_of(x, 16000.0, 3000.0, 3000.0).noise), dbhz, 0.5);
  }
}

// Feeds the in-phase part directly: amplitude 1 and white noise of N0/C = 1e-6 over points at 1 kHz, that is a variance
// of N0/C * 500 Hz each (derived).
std::vector<float> in_phase(double seconds, std::uint64_t seed) {
  std::vector<float> x(test::frames_in(seconds, 1000.0), 1.0F);
  test::add_noise(x, std::sqrt(1e-6 * 500.0), seed);
  return x;
}

TEST(CarrierNoise, SaysNothingBeforeAFrameAndForgetsAtReset) {
  CarrierNoise noise({1000.0, 250.0});
  noise.process(in_phase(0.25, 1), true);
  EXPECT_FALSE(noise.recent_noise_to_carrier());
  noise.process(in_phase(0.25, 2), true);
  EXPECT_TRUE(noise.recent_noise_to_carrier());
  noise.reset();
  EXPECT_FALSE(noise.recent_noise_to_carrier());
  EXPECT_FALSE(noise.total_noise_to_carrier());
}

TEST(CarrierNoise, LeavesVoidPointsOut) {
  CarrierNoise noise({1000.0, 250.0});
  const auto good = in_phase(0.6, 3);
  std::vector<float> bad(10);
  test::add_noise(bad, 5.0, 4);
  for (int i = 0; i < 50; ++i) {
    noise.process(good, true);
    noise.process(bad, false);
  }
  EXPECT_NEAR(dbhz_of(noise), 60.0, 1.0);
}

TEST(CarrierNoise, DoesNotDependOnTheBlocks) {
  const auto x = in_phase(3.0, 5);
  std::vector<double> results;
  for (const std::size_t piece : {1u, 10u, 128u, 4096u}) {
    CarrierNoise noise({1000.0, 250.0});
    for (std::size_t at = 0; at < x.size(); at += piece)
      noise.process(std::span(x).subspan(at, std::min(piece, x.size() - at)), true);
    ASSERT_TRUE(noise.total_noise_to_carrier().has_value()) << piece;
    results.push_back(*noise.total_noise_to_carrier());
  }
  for (const double result : results) EXPECT_EQ(result, results[0]);
}

// One interferer of relative amplitude a leaves a sine of amplitude a in the in-phase part (derived): 28 dB above all
// of this noise.
TEST(CarrierNoise, KeepsALineOutOfTheNoise) {
  auto x = in_phase(10.0, 6);
  for (std::size_t n = 0; n < x.size(); ++n)
    x[n] += static_cast<float>(0.02 * std::sin(test::kTwoPi * 93.75 * static_cast<double>(n) / 1000.0));
  CarrierNoise noise({1000.0, 250.0});
  noise.process(x, true);
  EXPECT_NEAR(dbhz_of(noise), 60.0, 0.6);
}

TEST(CarrierNoise, StaysFiniteInSilence) {
  CarrierNoise silent({1000.0, 250.0});
  silent.process(std::vector<float>(2000), true);
  EXPECT_TRUE(std::isfinite(silent.total_noise_to_carrier().value_or(0.0)));
}

}  // namespace
}  // namespace four76
