#include "core/tone/phase_break.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

// Times at which breaks are found in points of a millisecond, the phase being that function of time; noise on each
// axis.
template <typename Cycles>
std::vector<double> breaks_of(Cycles&& cycles, double seconds, double noise_rms) {
  PhaseBreak detector;
  test::Noise noise(3);
  std::vector<double> found;
  for (int i = 0; i < static_cast<int>(seconds * 1000.0); ++i) {
    const double t = i / 1000.0;
    const auto clean = std::polar(1.0, test::kTwoPi * (cycles(t) - 3000.0 * t));
    const std::complex<double> noisy = clean + std::complex<double>(noise_rms * noise(), noise_rms * noise());
    if (detector.add({t, 3000.0 * t, std::complex<float>(noisy)})) found.push_back(t);
  }
  return found;
}

double worn(double t) {  // capstan 0.1 % and motor 0.05 %
  return 3000.0 * t + 3000.0 * (0.001 / (test::kTwoPi * 7.6) * std::sin(test::kTwoPi * 7.6 * t) +
                                0.0005 / (test::kTwoPi * 38.0) * std::sin(test::kTwoPi * 38.0 * t));
}

// 60 dB-Hz in 500 Hz of noise on each axis: 10^-6 * 500 / 2 of the power, two axes.
constexpr double kNoiseAt60 = 0.0224;

TEST(PhaseBreak, FindsLostSamplesThroughWowAndFlutter) {
  for (const double step : {0.15, -0.2, 0.3, 0.5, -0.4}) {
    const auto found = breaks_of([&](double t) { return worn(t) + (t > 1.2 ? step : 0.0); }, 2.0, kNoiseAt60);
    ASSERT_EQ(found.size(), 1u) << step;
    EXPECT_GE(found[0], 1.2) << step;
    EXPECT_LE(found[0], 1.212) << step;  // said at most ten points later
  }
}

TEST(PhaseBreak, FindsNoneInWowFlutterAndNoise) { EXPECT_TRUE(breaks_of(worn, 20.0, kNoiseAt60).empty()); }

// A motor follows its trimmer within some 80 ms: the speed bends, the phase does not break.
TEST(PhaseBreak, LeavesATurnOfTheScrewAlone) {
  const auto turned = [](double t) {
    const double after = t - 1.2;
    return worn(t) + (after > 0.0 ? 60.0 * (after - 0.08 * (1.0 - std::exp(-after / 0.08))) : 0.0);
  };
  EXPECT_TRUE(breaks_of(turned, 2.0, kNoiseAt60).empty());
}

TEST(PhaseBreak, FindsNoneInSilence) {
  PhaseBreak detector;
  for (int i = 0; i < 1000; ++i) EXPECT_FALSE(detector.add({i / 1000.0, 3.0 * i, {}}));
}

}  // namespace
}  // namespace four76
