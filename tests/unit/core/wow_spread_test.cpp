#include "core/tone/wow_spread.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <vector>

#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

constexpr std::size_t kOrders = 12;
constexpr double kSeconds = 10.0;
constexpr std::array<double, kOrders> kNoNoise{};

// P_n from its own sum of powers (Rodrigues' formula worked out), unlike the recursion that the code uses.
double legendre(int n, double x) {
  double sum = 0.0;
  for (int k = 0; k <= n; ++k) {
    const double ways = std::exp(std::lgamma(n + 1.0) - std::lgamma(k + 1.0) - std::lgamma(n - k + 1.0));
    sum += ways * ways * std::pow(x - 1.0, n - k) * std::pow(x + 1.0, k);
  }
  return sum / std::pow(2.0, n);
}

constexpr int kSteps = 2000;

double place(int step) { return (2.0 * step + 1.0) / kSteps - 1.0; }

using Polynomials = std::vector<std::array<double, kOrders + 1>>;

// P_1 to P_13 at each step of the 10 s.
const Polynomials& polynomials() {
  static const Polynomials all = [] {
    Polynomials made(kSteps);
    for (int i = 0; i < kSteps; ++i)
      for (std::size_t j = 0; j <= kOrders; ++j)
        made[static_cast<std::size_t>(i)][j] = legendre(static_cast<int>(j) + 1, place(i));
    return made;
  }();
  return all;
}

// (2/T) integral of the phase times P_n over 10 s, for n = 1 to 13: the first is what the others are to foretell.
template <typename Cycles>
std::array<double, kOrders + 1> projections_of(Cycles&& cycles) {
  std::array<double, kOrders + 1> b{};
  for (int i = 0; i < kSteps; ++i) {
    const double phase = cycles((place(i) + 1.0) / 2.0 * kSeconds) * 2.0 / kSteps;
    for (std::size_t j = 0; j <= kOrders; ++j) b[j] += phase * polynomials()[static_cast<std::size_t>(i)][j];
  }
  return b;
}

struct Told {
  double true_rms_hz = 0.0, told_rms_hz = 0.0;
};

// Over phases of wow drawn anew: what the slope is off by, and what was foretold.
template <typename Draw>
Told told_of(Draw&& draw, int trials) {
  Told told;
  test::Noise random(31);
  for (int trial = 0; trial < trials; ++trial) {
    const auto b = projections_of(draw(random));
    const double sigma_hz = wow_slope_sigma_hz(std::span(b).subspan(1), kNoNoise, kSeconds);
    told.true_rms_hz += std::pow(3.0 * b[0] / kSeconds, 2.0) / trials;
    told.told_rms_hz += sigma_hz * sigma_hz / trials;
  }
  return {std::sqrt(told.true_rms_hz), std::sqrt(told.told_rms_hz)};
}

// Far from 0 Hz every order lets the same through: a reel's wow, of which a density would make several times as much.
TEST(WowSpread, TellsWhatAReelLeaksIntoTheSlope) {
  const auto reel = [](test::Noise& random) {
    const double rate_hz = 0.5 + 0.3 * random.uniform();
    const double angle = test::kTwoPi * random.uniform();
    return [=](double t) { return 3.0 / (test::kTwoPi * rate_hz) * std::sin(test::kTwoPi * rate_hz * t + angle); };
  };
  const Told told = told_of(reel, 60);
  EXPECT_GT(told.told_rms_hz / told.true_rms_hz, 0.7);
  EXPECT_LT(told.told_rms_hz / told.true_rms_hz, 1.7);
}

// Deviation that is white from 0 Hz on, of density S: the slope has sqrt(1.2 S / T) (uncertainty.hpp).
TEST(WowSpread, TellsTheDensityOfWowThatIsSlow) {
  constexpr double kStepS = 0.02;
  const auto white = [](test::Noise& random) {
    std::vector<double> cycles{0.0};
    for (double t = 0.0; t < kSeconds; t += kStepS) cycles.push_back(cycles.back() + std::sqrt(kStepS) * random());
    return [cycles](double t) { return cycles[static_cast<std::size_t>(t / kStepS)]; };
  };
  const Told told = told_of(white, 60);
  EXPECT_NEAR(told.true_rms_hz / std::sqrt(1.2 / kSeconds), 1.0, 0.25);
  // Twelve squares cannot rule out a density that falls off, which would mean more next to 0 Hz.
  EXPECT_GE(told.told_rms_hz / std::sqrt(1.2 / kSeconds), 0.9);
  EXPECT_LE(told.told_rms_hz / std::sqrt(1.2 / kSeconds), 1.5);
}

TEST(WowSpread, LeavesOutWhatNoiseExplains) {
  test::Noise random(5);
  std::array<double, kOrders> b{};
  std::array<double, kOrders> noise{};
  for (std::size_t j = 0; j < kOrders; ++j) {
    noise[j] = 1e-6 / (2.0 * static_cast<double>(j) + 5.0);
    b[j] = std::sqrt(noise[j]) * (j % 2 == 0 ? 0.9 : -0.9);
  }
  EXPECT_LT(wow_slope_sigma_hz(b, noise, kSeconds), 0.1 * wow_slope_sigma_hz(b, kNoNoise, kSeconds));
}

TEST(WowSpread, GrowsWithTheWowAndIsNothingWithoutIt) {
  std::array<double, kOrders> b{};
  EXPECT_LT(wow_slope_sigma_hz(b, kNoNoise, kSeconds), 1e-9);
  for (std::size_t j = 0; j < kOrders; ++j) b[j] = 0.01 / static_cast<double>(j + 1);
  const double once = wow_slope_sigma_hz(b, kNoNoise, kSeconds);
  for (double& one : b) one *= 3.0;
  EXPECT_NEAR(wow_slope_sigma_hz(b, kNoNoise, kSeconds) / once, 3.0, 1e-3);
}

// S next to 0 Hz in each order's square: slope_weight(n) is the integral of a square, here summed up step by step.
TEST(WowSpread, WeighsAnOrderByTheIntegralOfItsWindow) {
  for (const int n : {1, 2, 5, 13}) {
    double window = 0.0;
    double square = 0.0;
    for (const auto& at : polynomials()) {
      window += at[static_cast<std::size_t>(n) - 1] * 2.0 / kSteps;
      square += window * window * 2.0 / kSteps;
    }
    EXPECT_NEAR(slope_weight(n) / square, 1.0, 0.01) << n;
  }
}

}  // namespace
}  // namespace four76
