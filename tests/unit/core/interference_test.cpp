#include "core/tone/interference.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "core/tone/zoom_spectrum.hpp"
#include "tests/unit/core/test_signals.hpp"
#include "tests/unit/core/tracked.hpp"

namespace four76 {
namespace {

// The zoom spectrum of a sound, as the meter makes it.
struct Zoomed {
  ZoomSpectrum zoom;
  Interferers lines;
};
Zoomed zoomed(std::span<const float> x, double tone_hz) {
  ToneTrack track({48000.0, 3000.0});
  track.lock(tone_hz, 0);
  Zoomed result{ZoomSpectrum(track.point_rate_hz()), {}};
  for (std::size_t at = 0; at < x.size(); at += 256)
    result.zoom.process(track.process(x.subspan(at, std::min<std::size_t>(256, x.size() - at))), track.frequency_hz());
  std::vector<float> scratch(result.zoom.power().size());
  result.lines = find_interferers(result.zoom.power(), result.zoom.first_hz(), result.zoom.bin_hz(), tone_hz, scratch);
  return result;
}

std::vector<float> noisy_tone(double tone_hz, double seconds, double dbhz) {
  auto x = test::tone(tone_hz, seconds, 48000.0, 0.1);
  test::add_noise_dbhz(x, 0.1, dbhz, 48000.0, 41);
  return x;
}

TEST(Mains, AreHarmonicsOf50Or60Hz) {
  EXPECT_EQ(mains_of(50.0, 0.3), 50.0);
  EXPECT_EQ(mains_of(2950.0, 0.3), 50.0);
  EXPECT_EQ(mains_of(180.0, 0.3), 60.0);
  EXPECT_EQ(mains_of(3120.1, 0.3), 60.0);
  EXPECT_EQ(mains_of(3150.0, 0.3), 50.0);  // the 63rd, and midway between harmonics of 60 Hz (derived)
  EXPECT_EQ(mains_of(3025.0, 0.3), std::nullopt);
  EXPECT_EQ(mains_of(10.0, 0.3), std::nullopt);
}

TEST(ZoomSpectrum, ReadsTheToneAtItsPlaceAndLevel) {
  const auto result = zoomed(noisy_tone(3010.0, 6.0, 75.0), 3010.0);
  ASSERT_TRUE(result.zoom.ready());
  const auto power = result.zoom.power();
  const auto top = static_cast<std::size_t>(std::max_element(power.begin(), power.end()) - power.begin());
  EXPECT_NEAR(result.zoom.first_hz() + static_cast<double>(top) * result.zoom.bin_hz(), 3010.0, result.zoom.bin_hz());
  EXPECT_NEAR(10.0 * std::log10(static_cast<double>(power[top])), -20.0, 1.45);  // Hann's scalloping at most
  EXPECT_LE(result.zoom.first_hz(), 3010.0 - 290.0);
}

TEST(ZoomSpectrum, IsNotReadyAfterReset) {
  auto result = zoomed(noisy_tone(3010.0, 3.0, 75.0), 3010.0);
  result.zoom.reset();
  EXPECT_FALSE(result.zoom.ready());
  for (const float power : result.zoom.power()) EXPECT_EQ(power, 0.0F);
}

// An interferer of relative amplitude a at D Hz swings the reading by a D (sources.md#interference): -40 dB at 70 Hz is
// 0.7 Hz.
TEST(Interferers, FindATonesPlaceAndStrength) {
  for (const double distance_hz : {-200.0, -70.0, 43.0, 133.0, 240.0}) {
    auto x = noisy_tone(3007.0, 8.0, 70.0);
    test::add(x, test::tone(3007.0 + distance_hz, 8.0, 48000.0, 0.001, 0.3));
    const auto lines = zoomed(x, 3007.0).lines;
    ASSERT_EQ(lines.count, 1u) << distance_hz;
    EXPECT_NEAR(lines.found[0].frequency_hz, 3007.0 + distance_hz, 0.3);
    EXPECT_NEAR(20.0 * std::log10(lines.found[0].relative_amplitude), -40.0, 1.6);
    EXPECT_NEAR(lines.swing_hz(lines.found[0].mains_hz > 0.0) / (0.01 * std::abs(distance_hz)), 1.0, 0.2);
  }
}

TEST(Interferers, NameHarmonicsOfTheMains) {
  auto x = noisy_tone(3012.0, 8.0, 70.0);
  test::add(x, test::tone(2950.0, 8.0, 48000.0, 0.002));
  const auto fifty = zoomed(x, 3012.0).lines;
  ASSERT_EQ(fifty.count, 1u);
  EXPECT_EQ(fifty.found[0].mains_hz, 50.0);
  EXPECT_GT(fifty.swing_hz(true), 0.5);
  EXPECT_EQ(fifty.swing_hz(false), 0.0);
}

// Wow puts a line on both sides of the tone, an interferer on one (header).
TEST(Interferers, DoNotIncludeFlutter) {
  for (const double rate_hz : {20.0, 45.0, 100.0}) {
    const test::SineWow wow{.mean_hz = 3007.0, .peak = 0.001, .rate_hz = rate_hz};
    auto x = test::sound_of(wow, 8.0, 48000.0, 0.1);
    test::add_noise_dbhz(x, 0.1, 65.0, 48000.0, 42);
    EXPECT_EQ(zoomed(x, 3007.0).lines.count, 0u) << rate_hz;
  }
}

TEST(Interferers, AreNoneInNoiseAndNoneInSilence) {
  for (const double dbhz : {35.0, 50.0, 80.0})
    EXPECT_EQ(zoomed(noisy_tone(3000.0, 8.0, dbhz), 3000.0).lines.count, 0u) << dbhz;
  std::vector<float> scratch(400);
  EXPECT_EQ(find_interferers(std::vector<float>(400), 2800.0, 1.0, 3000.0, scratch).count, 0u);
  EXPECT_EQ(find_interferers({}, 2800.0, 1.0, 3000.0, scratch).count, 0u);
}

// What is left in a phase fit falls with the window's leakage: 3 (sin x - x cos x) / x^3, x = pi D T.
TEST(Interferers, LeaveLessInALongerWindow) {
  Interferers lines;
  lines.tone_hz = 3000.0;
  lines.found[0] = {3050.0, 0.01, 50.0};
  lines.count = 1;
  EXPECT_NEAR(lines.u95_hz(1e-4), 0.5, 0.001);
  EXPECT_LT(lines.u95_hz(0.36), 3.1 * 0.5 / std::pow(3.14159 * 50.0 * 0.36, 2.0));
  EXPECT_LT(lines.u95_hz(10.0), 1e-5);
}

}  // namespace
}  // namespace four76
