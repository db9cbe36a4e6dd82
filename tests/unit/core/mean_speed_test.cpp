#include "core/tone/mean_speed.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <vector>

#include "core/signal/uncertainty.hpp"
#include "tests/unit/core/coverage.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

constexpr double kKnotS = 0.01;

// Knots of a phase, with the white noise that a C/N0 puts on each: N0/C / (2 span) square radians (derived).
template <typename Cycles>
std::vector<PhaseKnot> knots_of(Cycles&& cycles, double seconds, double dbhz, std::uint64_t seed) {
  const double sigma_cycles = std::sqrt(std::pow(10.0, -dbhz / 10.0) / (2.0 * kKnotS)) / test::kTwoPi;
  test::Noise noise(seed);
  std::vector<PhaseKnot> knots(test::frames_in(seconds, 1.0 / kKnotS));
  for (std::size_t i = 0; i < knots.size(); ++i) {
    knots[i].time_s = (static_cast<double>(i) + 0.5) * kKnotS;
    knots[i].span_s = kKnotS;
    knots[i].phase_cycles = cycles(knots[i].time_s) + sigma_cycles * noise();
    knots[i].amplitude = 0.1F;
    knots[i].scatter = 1e-3F;
  }
  return knots;
}

double steady(double t) { return 3012.5 * t; }

TEST(MeanSpeedFit, IsExactOnASteadyPhase) {
  MeanSpeedFit fit;
  const auto mean = fit.fit(knots_of(steady, 5.0, 300.0, 1), 1e-8);
  ASSERT_TRUE(mean);
  EXPECT_NEAR(mean->frequency_hz, 3012.5, 1e-9);
  EXPECT_NEAR(mean->trusted_s, 5.0, 1e-9);
  EXPECT_NEAR(mean->first_s, 0.0, 1e-9);
  EXPECT_NEAR(mean->last_s, 5.0, 1e-9);
  EXPECT_NEAR(mean->amplitude, 0.1, 1e-6);
  EXPECT_NEAR(mean->drift_hz, 0.0, 1e-6);
}

TEST(MeanSpeedFit, SaysNothingWhereThereIsTooLittle) {
  MeanSpeedFit fit;
  EXPECT_FALSE(fit.fit({}, 1e-6));
  EXPECT_FALSE(fit.fit(knots_of(steady, 0.04, 60.0, 1), 1e-6));
  EXPECT_TRUE(fit.fit(knots_of(steady, 0.06, 60.0, 1), 1e-6));
  auto knots = knots_of(steady, 2.0, 60.0, 1);
  for (auto& knot : knots) knot.valid = false;
  EXPECT_FALSE(fit.fit(knots, 1e-6));
}

TEST(MeanSpeedFit, NeedsNoPhaseAcrossSegmentsAndNothingFromVoidKnots) {
  auto knots = knots_of(steady, 6.0, 300.0, 1);
  for (std::size_t i = 0; i < knots.size(); ++i) {
    knots[i].segment = static_cast<std::uint32_t>(i / 130);
    knots[i].phase_cycles += 0.41 * static_cast<double>(i / 130);
    if (i % 97 == 0) {
      knots[i].valid = false;
      knots[i].phase_cycles = -1e9;
    }
  }
  MeanSpeedFit fit;
  const auto mean = fit.fit(knots, 1e-8);
  ASSERT_TRUE(mean);
  EXPECT_NEAR(mean->frequency_hz, 3012.5, 1e-8);
  EXPECT_LT(mean->trusted_s, 6.0);
}

TEST(MeanSpeedFit, SeesADriftAndItsSize) {
  const auto drift = [](double t) { return 3000.0 * t + 0.5 * 1.2 * t * t; };  // 12 Hz in 10 s
  MeanSpeedFit fit;
  const auto mean = fit.fit(knots_of(drift, 10.0, 65.0, 2), std::pow(10.0, -6.5));
  ASSERT_TRUE(mean);
  EXPECT_NEAR(mean->drift_hz, 12.0, 0.1);
  EXPECT_GT(std::abs(mean->drift_hz), 1.5 * mean->drift_u95_hz);
  EXPECT_NEAR(mean->frequency_hz, 3006.0, mean->u95_hz);
}

// The bound of Rife and Boorstyn (1974). On fixed seeds within 1.15 of it (promised), and not below what 300 trials can
// show (their RMS has a standard deviation of 4 %).
TEST(MeanSpeedFit, ReachesTheCramerRaoBound) {
  MeanSpeedFit fit;
  for (const double dbhz : {35.0, 50.0, 65.0, 80.0})
    for (const double seconds : {0.5, 1.0, 3.0, 10.0, 30.0}) {
      constexpr int kTrials = 300;
      double square = 0.0;
      double claimed = 0.0;
      for (int trial = 0; trial < kTrials; ++trial) {
        const auto mean = fit.fit(knots_of(steady, seconds, dbhz, 1000u + static_cast<std::uint64_t>(trial)),
                                  std::pow(10.0, -dbhz / 10.0));
        ASSERT_TRUE(mean);
        square += std::pow(mean->frequency_hz - 3012.5, 2.0);
        claimed += mean->noise_u95_hz / kTrials;
      }
      const double bound = cramer_rao_sigma_hz(std::pow(10.0, dbhz / 10.0), seconds);
      const double chain_hz = 3e-6 / seconds;  // the chain's own error, entered by mean_speed.cpp
      EXPECT_LT(std::sqrt(square / kTrials) / bound, 1.15) << dbhz << " dB-Hz, " << seconds << " s";
      EXPECT_GT(std::sqrt(square / kTrials) / bound, 0.85) << dbhz << " dB-Hz, " << seconds << " s";
      EXPECT_NEAR(claimed / std::hypot(1.96 * bound, chain_hz), 1.0, 0.02) << dbhz << " dB-Hz, " << seconds << " s";
    }
}

// ---- u95 holds the true mean of the stretch in 95 of 100 cases
// --------------------------------------------------------

// A phase with its truth: drawn anew for each trial.
using Wow = std::function<std::function<double(double)>(test::Noise&)>;

// In how many trials the mean over the stretch (its phase at both ends) lies within u95; and the RMS error from the
// machine's own speed, without the wow that the stretch happened to hold, over u95: that is what it is for, and 0.51
// would be exact.
constexpr int kTrials = 400;
struct Held {
  int count = 0;
  int own_count = 0;  // in how many the machine's own speed does
  double rms_of_u95 = 0.0;
};
Held held(const Wow& draw, double seconds, double dbhz) {
  MeanSpeedFit fit;
  Held found;
  for (int trial = 0; trial < kTrials; ++trial) {
    test::Noise random(7000u + static_cast<std::uint64_t>(trial));
    const auto cycles = draw(random);
    const auto mean = fit.fit(knots_of(cycles, seconds, dbhz, 9000u + static_cast<std::uint64_t>(trial)),
                              std::pow(10.0, -dbhz / 10.0));
    const double truth_hz = (cycles(seconds) - cycles(0.0)) / seconds;
    if (!mean) continue;
    found.count += std::abs(mean->frequency_hz - truth_hz) <= mean->u95_hz ? 1 : 0;
    found.own_count += std::abs(mean->frequency_hz - 3000.0) <= mean->u95_hz ? 1 : 0;
    found.rms_of_u95 += std::pow((mean->frequency_hz - 3000.0) / mean->u95_hz, 2.0) / kTrials;
  }
  found.rms_of_u95 = std::sqrt(found.rms_of_u95);
  return found;
}

// 400 trials of a true 95 % fall below 92.8 % in one case of forty (two sigma of the binomial). Under wow u95 holds the
// mean of the stretch more often than that, for it has to hold the machine's own speed: on that its width is judged.
constexpr double kLeastHeld = 0.928 * kTrials;

TEST(MeanSpeedFit, U95CoversTheMeanInNoise) {
  const Wow none = [](test::Noise&) { return steady; };
  for (const double dbhz : {35.0, 60.0, 80.0})
    for (const double seconds : {0.5, 2.0, 10.0, 30.0})
      EXPECT_TRUE(test::covers(held(none, seconds, dbhz).count, kTrials)) << dbhz << " " << seconds;
}

// One part of any rate from a reel's to a capstan's, and any size up to a worn portable's.
TEST(MeanSpeedFit, U95CoversTheMeanUnderSinusoidalWow) {
  const Wow sinusoid = [](test::Noise& random) {
    const test::SineWow wow{.mean_hz = 3000.0,
                            .peak = 0.003 * random.uniform(),
                            .rate_hz = 0.3 * std::pow(30.0, random.uniform()),
                            .angle = test::kTwoPi * random.uniform()};
    return [wow](double t) { return wow(t); };
  };
  for (const double seconds : {2.0, 5.0, 10.0, 30.0})
    EXPECT_GE(held(sinusoid, seconds, 60.0).count, kLeastHeld) << seconds;
}

// Gaussian deviation of 0.1 % RMS through a first-order low-pass: the phase is summed over steps of 1 ms.
TEST(MeanSpeedFit, U95CoversTheMeanUnderRandomWow) {
  const Wow random_wow = [](test::Noise& random) {
    const double corner_hz = 0.3 * std::pow(10.0, random.uniform());
    const double pole = std::exp(-test::kTwoPi * corner_hz / 1000.0);
    double deviation = random();
    std::vector<double> cycles(30002);
    for (std::size_t i = 1; i < cycles.size(); ++i) {
      cycles[i] = cycles[i - 1] + 3.0 * (1.0 + 0.001 * deviation);
      deviation = pole * deviation + std::sqrt(1.0 - pole * pole) * random();
    }
    return [cycles](double t) {
      const auto i = static_cast<std::size_t>(t * 1000.0);
      const double share = t * 1000.0 - static_cast<double>(i);
      return share > 0.0 ? cycles[i] + share * (cycles[i + 1] - cycles[i]) : cycles[i];
    };
  };
  for (const double seconds : {2.0, 5.0, 10.0, 30.0}) {
    const Held found = held(random_wow, seconds, 60.0);
    EXPECT_GE(found.count, kLeastHeld) << seconds;
    if (seconds < 5.0) continue;  // less than two turns of the slowest of these: its size cannot be known yet
    EXPECT_GE(found.rms_of_u95, 0.40) << seconds;
    // Too narrow shows in the count: where the fit takes slow wow for a reel's, a few errors are many times their u95.
    EXPECT_GE(found.own_count, kLeastHeld) << seconds;
  }
}

// A portable's parts: reel, roller, capstan, each with a rate, a size and a phase of its own.
std::function<double(double)> draw_portable(test::Noise& random) {
  const auto part = [&](double slowest_hz, double fastest_hz, double peak) {
    return test::SineWow{.mean_hz = 1000.0,
                         .peak = peak * (0.5 + random.uniform()),
                         .rate_hz = slowest_hz + (fastest_hz - slowest_hz) * random.uniform(),
                         .angle = test::kTwoPi * random.uniform()};
  };
  const auto reel = part(0.3, 0.72, 0.003);
  const auto roller = part(1.12, 1.38, 0.003);
  const auto capstan = part(5.0, 10.0, 0.002);
  return [=](double t) { return reel(t) + roller(t) + capstan(t); };
}

// Pieces with 0.2 s lost between them, and how much else is not known.
std::vector<PhaseKnot> in_pieces(std::vector<PhaseKnot> knots, std::size_t pieces) {
  const std::size_t each = knots.size() / pieces;
  for (std::size_t i = 0; i < knots.size(); ++i) {
    knots[i].segment = static_cast<std::uint32_t>(std::min(pieces - 1, i / each));
    knots[i].phase_cycles += 0.41 * knots[i].segment;
  }
  std::erase_if(knots, [&](const PhaseKnot& k) {
    const double into_s = k.time_s - static_cast<double>(each * k.segment) * kKnotS;
    return k.segment > 0 && into_s < 0.2;
  });
  return knots;
}

// Too narrow fails, and too wide fails as well: were it exactly right, the RMS of error over u95 would be 1 / 1.96.
TEST(MeanSpeedFit, U95IsAsWideAsTheMachinesOwnSpeedAsks) {
  MeanSpeedFit fit;
  for (const double seconds : {10.0, 30.0})
    for (const std::size_t pieces : {1U, 4U}) {
      constexpr int kMachines = 300;
      int held = 0;
      double square = 0.0;
      for (int trial = 0; trial < kMachines; ++trial) {
        test::Noise random(500U + static_cast<std::uint64_t>(trial));
        const auto cycles = draw_portable(random);
        const auto knots = in_pieces(knots_of(cycles, seconds, 60.0, 900U + static_cast<std::uint64_t>(trial)), pieces);
        const auto mean = fit.fit(knots, 1e-6, MeanOf::stretch);
        ASSERT_TRUE(mean);
        const double ratio = (mean->frequency_hz - 3000.0) / mean->u95_hz;
        held += std::abs(ratio) <= 1.0 ? 1 : 0;
        square += ratio * ratio / kMachines;
      }
      EXPECT_GE(static_cast<double>(held) / kMachines, 0.928) << seconds << " s, pieces: " << pieces;
      EXPECT_GT(std::sqrt(square), 0.35) << seconds << " s, pieces: " << pieces;
    }
}

// A figure that holds because it is huge helps nobody: on a portable's wow over 30 s the half-width stays below 0.03 %.
TEST(MeanSpeedFit, U95StaysUseful) {
  const test::SineWow wow{.mean_hz = 3000.0, .peak = 0.0015, .rate_hz = 1.26};
  MeanSpeedFit fit;
  const auto mean = fit.fit(knots_of(wow, 30.0, 60.0, 3), 1e-6);
  ASSERT_TRUE(mean);
  EXPECT_LT(mean->u95_hz / 30.0, 0.03);
}

}  // namespace
}  // namespace four76
