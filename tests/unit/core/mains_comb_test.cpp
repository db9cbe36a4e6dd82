#include "core/tone/mains_comb.hpp"

#include <gtest/gtest.h>

#include <vector>

#include "core/signal/spectrum.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

// A spectrum as the session's: some 12 Hz a bin.
bool hums(std::vector<float> x, double rate_hz, double nominal_hz, std::optional<double> tone_hz) {
  AveragedSpectrum spectrum({rate_hz, 4096, 1.0, 20000.0});
  spectrum.process(x);
  std::vector<float> scratch(kMostHarmonics);
  return has_comb(spectrum.power(), spectrum.bin_hz(), nominal_hz, tone_hz, scratch);
}

std::vector<float> hum(double mains_hz, double amplitude, double rate_hz) {
  auto x = test::tone(mains_hz, 3.0, rate_hz, amplitude);
  for (int n = 2; n <= 90; ++n) test::add(x, test::tone(n * mains_hz, 3.0, rate_hz, amplitude / n));
  test::add_noise_dbhz(x, amplitude / 60.0, 45.0, rate_hz, 3);
  return x;
}

TEST(MainsComb, IsFoundAroundAToneOrWithoutOne) {
  for (const double rate_hz : {44100.0, 48000.0})
    for (const double mains_hz : {50.0, 60.0, 49.98, 60.02})
      for (const double nominal_hz : {3000.0, 3150.0, 1000.0, 440.0}) {
        auto x = hum(mains_hz, 0.2, rate_hz);
        EXPECT_TRUE(hums(x, rate_hz, nominal_hz, std::nullopt)) << mains_hz << ", " << nominal_hz;
        test::add(x, test::tone(nominal_hz * 1.01, 3.0, rate_hz, 0.05));
        EXPECT_TRUE(hums(x, rate_hz, nominal_hz, nominal_hz * 1.01)) << mains_hz << ", " << nominal_hz;
      }
}

TEST(MainsComb, IsNotSeenInNoiseOrATone) {
  auto noise = test::tone(100.0, 3.0, 48000.0, 0.0);
  test::add_noise_dbhz(noise, 0.1, 40.0, 48000.0, 4);
  EXPECT_FALSE(hums(noise, 48000.0, 3000.0, std::nullopt));
  test::add(noise, test::tone(3000.0, 3.0, 48000.0, 0.1));
  EXPECT_FALSE(hums(noise, 48000.0, 3000.0, 3000.0));
}

// A voice's harmonics lie further apart, and elsewhere.
TEST(MainsComb, IsNotAVoice) {
  for (const double pitch_hz : {110.0, 133.0, 187.0, 221.0}) {
    auto x = hum(pitch_hz, 0.2, 48000.0);
    EXPECT_FALSE(hums(x, 48000.0, 3000.0, std::nullopt)) << pitch_hz;
  }
}

TEST(MainsComb, SaysNothingWhereTheBinsAreTooWide) {
  std::vector<float> scratch(kMostHarmonics);
  const std::vector<float> power(400, 1.0F);
  EXPECT_FALSE(has_comb(power, 25.0, 3000.0, std::nullopt, scratch));
  EXPECT_FALSE(has_comb({}, 10.0, 3000.0, std::nullopt, scratch));
}

}  // namespace
}  // namespace four76
