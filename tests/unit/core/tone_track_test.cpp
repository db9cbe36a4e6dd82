#include "core/tone/tone_track.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <cstring>
#include <vector>

#include "tests/unit/core/test_signals.hpp"
#include "tests/unit/core/tracked.hpp"

namespace four76 {
namespace {

constexpr std::array kRates = {8000.0, 16000.0, 44100.0, 48000.0, 96000.0, 192000.0};

// A point says which phase the tone had at which time, both absolutely; its magnitude is the peak amplitude. Single
// precision samples and taps leave some 1e-6 cycles.
TEST(ToneTrack, KnowsPhaseTimeAndAmplitudeOfASteadyTone) {
  for (const double rate_hz : kRates)
    for (const double tone_hz : {2990.0, 3000.0, 3031.7}) {
      const auto x = test::tone(tone_hz, 1.0, rate_hz, 0.3, 0.1);
      const auto points = test::track(x, rate_hz, 3000.0, tone_hz + 1.0);
      ASSERT_GT(points.size(), 500u);
      EXPECT_LT(test::largest(test::phase_errors(
                    points, [&](double t) { return 0.1 + tone_hz * t; }, 0.3)),
                5e-6)
          << tone_hz << " at " << rate_hz;
      for (const auto& point : points) {
        if (point.time_s < 0.3) continue;
        ASSERT_NEAR(20.0 * std::log10(std::abs(point.residual) / 0.3F), 0.0, 0.01) << rate_hz;
      }
    }
}

TEST(ToneTrack, GivesAboutAThousandPointsASecond) {
  for (const double rate_hz : kRates)
    for (const double nominal_hz : {315.0, 1000.0, 3000.0}) {
      ToneTrack track({rate_hz, nominal_hz});
      track.lock(nominal_hz, 0);
      const auto points = test::track(track, test::tone(nominal_hz, 1.0, rate_hz));
      EXPECT_GT(track.point_rate_hz(), 600.0) << rate_hz << " " << nominal_hz;
      EXPECT_LT(track.point_rate_hz(), 2400.0) << rate_hz << " " << nominal_hz;
      EXPECT_NEAR((points.back().time_s - points.front().time_s) * track.point_rate_hz(),
                  static_cast<double>(points.size() - 1), 1e-6);
      EXPECT_NEAR(1.0 - points.back().time_s, track.delay_s(), 2.0 / track.point_rate_hz());
    }
}

// Amplitude of the deviation that the points show at that rate over the true one, in dB: least squares of
// phase - mean_hz t on 1, t, cos and sin by solving the normal equations.
double modulation_gain_db(std::span<const TrackPoint> points, const test::SineWow& wow, double from_s) {
  std::array<std::array<double, 5>, 4> m{};
  for (const auto& point : points) {
    if (point.time_s < from_s) continue;
    const double angle = test::kTwoPi * wow.rate_hz * point.time_s;
    const std::array<double, 5> row = {1.0, point.time_s, std::cos(angle), std::sin(angle),
                                       test::phase_cycles(point) - wow.mean_hz * point.time_s};
    for (std::size_t i = 0; i < 4; ++i)
      for (std::size_t j = 0; j < 5; ++j) m[i][j] += row[i] * row[j];
  }
  for (std::size_t i = 0; i < 4; ++i)  // Gauss and Jordan; the matrix is positive definite
    for (std::size_t k = 0; k < 4; ++k) {
      if (k == i) continue;
      const double share = m[k][i] / m[i][i];
      for (std::size_t j = i; j < 5; ++j) m[k][j] -= share * m[i][j];
    }
  const double seen = std::hypot(m[2][4] / m[2][2], m[3][4] / m[3][3]);
  return 20.0 * std::log10(seen * test::kTwoPi * wow.rate_hz / (wow.peak * wow.mean_hz));
}

// Promised: the flat modulation bandwidth reaches 250 Hz. Within 0.1 dB, as a meter's own ripple must not show.
TEST(ToneTrack, PassesModulationFlatTo250Hz) {
  for (const double nominal_hz : {1000.0, 3000.0, 3150.0, 6300.0})
    for (const double rate_hz : {1.0, 4.0, 10.0, 40.0, 100.0, 160.0, 200.0, 230.0, 250.0}) {
      const test::SineWow wow{.mean_hz = nominal_hz, .peak = 0.002, .rate_hz = rate_hz, .angle = 0.4};
      const auto points = test::track(test::sound_of(wow, 2.5, 48000.0, 0.2), 48000.0, nominal_hz, nominal_hz);
      EXPECT_NEAR(modulation_gain_db(points, wow, 0.5), 0.0, 0.1) << nominal_hz << " Hz at " << rate_hz;
    }
}

TEST(ToneTrack, PassesModulationFlatAtEverySampleRate) {
  for (const double sample_rate_hz : kRates)
    for (const double rate_hz : {4.0, 250.0}) {
      const test::SineWow wow{.mean_hz = 3000.0, .peak = 0.002, .rate_hz = rate_hz};
      const auto points = test::track(test::sound_of(wow, 1.5, sample_rate_hz, 0.2), sample_rate_hz, 3000.0, 3000.0);
      EXPECT_NEAR(modulation_gain_db(points, wow, 0.5), 0.0, 0.1) << sample_rate_hz << " at " << rate_hz;
    }
}

// Below 500 Hz up to 40 % of the nominal, as the header says.
TEST(ToneTrack, PassesModulationOfLowTonesAsFarAsItPromises) {
  for (const double nominal_hz : {315.0, 333.0, 400.0, 440.0}) {
    const ToneTrack track({48000.0, nominal_hz});
    EXPECT_GE(track.modulation_bandwidth_hz(), 0.399 * nominal_hz);
    for (const double share : {0.03, 0.5, 1.0}) {
      const test::SineWow wow{.mean_hz = nominal_hz, .peak = 0.002, .rate_hz = share * track.modulation_bandwidth_hz()};
      const auto points = test::track(test::sound_of(wow, 2.5, 48000.0, 0.2), 48000.0, nominal_hz, nominal_hz);
      EXPECT_NEAR(modulation_gain_db(points, wow, 0.5), 0.0, 0.1) << nominal_hz << " Hz at " << wow.rate_hz;
    }
  }
}

// Promised: through +-10 % swings without losing cycles.
TEST(ToneTrack, KeepsEveryCycleThroughTenPercentSwings) {
  for (const double nominal_hz : {1000.0, 3000.0, 6300.0})
    for (const double rate_hz : {0.3, 1.0, 2.5}) {
      const test::SineWow wow{.mean_hz = nominal_hz, .peak = 0.10, .rate_hz = rate_hz};
      const auto points = test::track(test::sound_of(wow, 5.0, 48000.0, 0.2), 48000.0, nominal_hz, 1.1 * nominal_hz);
      EXPECT_LT(test::largest(test::phase_errors(points, wow, 0.3)), 0.005) << nominal_hz << " at " << rate_hz;
    }
}

// A drift through 20 % retunes the band filter ten times: none may leave a step in the phase.
TEST(ToneTrack, LeavesNoStepWhereItRetunes) {
  const auto drift = [](double t) { return 2700.0 * t + 15.0 * t * t; };  // 2700 to 3300 Hz in 20 s
  const auto points = test::track(test::sound_of(drift, 20.0, 48000.0, 0.2), 48000.0, 3000.0, 2700.0);
  const auto errors = test::phase_errors(points, drift, 0.3);
  EXPECT_LT(test::largest(errors), 1e-4);
  double step = 0.0;
  for (std::size_t i = 1; i < errors.size(); ++i) step = std::max(step, std::abs(errors[i] - errors[i - 1]));
  EXPECT_LT(step, 2e-5);
}

// Cycles are kept at 35 dB-Hz (header): the error wanders by noise but never moves on by a cycle.
TEST(ToneTrack, KeepsEveryCycleInNoise) {
  for (const double dbhz : {35.0, 45.0})
    for (std::uint64_t seed = 1; seed <= 5; ++seed) {
      const test::SineWow wow{.mean_hz = 2985.0, .peak = 0.002, .rate_hz = 0.7};
      auto x = test::sound_of(wow, 8.0, 16000.0, 0.1);
      test::add_noise_dbhz(x, 0.1, dbhz, 16000.0, seed);
      ToneTrack track({16000.0, 3000.0});
      track.lock(2986.0, 0);
      KnotBuilder builder(track.point_rate_hz());
      std::vector<double> errors;
      for (const auto& point : test::track(track, x))
        if (builder.add(point)) errors.push_back(builder.knot().phase_cycles - wow(builder.knot().time_s) + 0.25);
      double first = 0.0;
      double last = 0.0;
      for (std::size_t i = 0; i < 40; ++i) {
        first += errors[20 + i] / 40.0;
        last += errors[errors.size() - 1 - i] / 40.0;
      }
      EXPECT_LT(std::abs(last - first), 0.3) << dbhz << " dB-Hz, seed " << seed;
    }
}

// Stop band of at least 80 dB: a tone of the same strength beyond it leaves less than 1e-4 of an amplitude (and of a
// radian). The edges for 3000 Hz: flat to 550 Hz off, stopped from 1000 Hz on; the second filter stops from 740 Hz on.
TEST(ToneTrack, StopsATonePast1000Hz) {
  for (const double distance_hz : {-2500.0, -1500.0, -1020.0, 1020.0, 1300.0, 5000.0, 15000.0}) {
    auto x = test::tone(3000.0, 1.0, 48000.0, 0.2);
    test::add(x, test::tone(3000.0 + distance_hz, 1.0, 48000.0, 0.2));
    const auto points = test::track(x, 48000.0, 3000.0, 3000.0);
    EXPECT_LT(test::largest(test::phase_errors(
                  points, [](double t) { return 3000.0 * t; }, 0.3)),
              1e-4 / test::kTwoPi)
        << distance_hz;
  }
}

TEST(ToneTrack, DoesNotDependOnTheBlocks) {
  const test::SineWow wow{.mean_hz = 3030.0, .peak = 0.01, .rate_hz = 2.0};
  for (const double rate_hz : {44100.0, 48000.0, 96000.0}) {
    auto x = test::sound_of(wow, 0.5, rate_hz, 0.1);
    test::add_noise_dbhz(x, 0.1, 50.0, rate_hz, 9);
    std::vector<std::vector<TrackPoint>> results;
    for (const std::size_t piece : {std::size_t{1}, std::size_t{128}, ToneTrack::kLargestBlock}) {
      ToneTrack track({rate_hz, 3000.0});
      track.lock(3030.0, 0);
      results.push_back(test::track(track, x, piece));
    }
    for (std::size_t i = 0; i < results[0].size(); ++i)
      for (const auto& other : {results[1], results[2]}) {
        ASSERT_EQ(results[0].size(), other.size());
        ASSERT_EQ(results[0][i].time_s, other[i].time_s);
        ASSERT_EQ(results[0][i].predicted_cycles, other[i].predicted_cycles);
        ASSERT_EQ(results[0][i].residual, other[i].residual);
      }
  }
}

TEST(ToneTrack, ForgetsEverythingAtALock) {
  ToneTrack used({48000.0, 3000.0});
  used.lock(3200.0, 0);
  test::track(used, test::tone(3200.0, 0.4, 48000.0, 0.5));
  ToneTrack fresh({48000.0, 3000.0});
  const auto x = test::tone(2950.0, 0.3, 48000.0, 0.1);
  used.lock(2951.0, 7777);
  fresh.lock(2951.0, 7777);
  const auto a = test::track(used, x);
  const auto b = test::track(fresh, x);
  ASSERT_EQ(a.size(), b.size());
  for (std::size_t i = 0; i < a.size(); ++i) ASSERT_EQ(test::phase_cycles(a[i]), test::phase_cycles(b[i]));
}

TEST(ToneTrack, StaysFiniteInSilenceNoiseAndFarBeyondFullScale) {
  std::vector<float> noise(48000);
  test::add_noise(noise, 0.3, 4);
  for (const auto& x :
       {std::vector<float>(48000), noise, test::tone(3000.0, 1.0, 48000.0, 1e6), std::vector<float>(48000, 1.0F)}) {
    for (const auto& point : test::track(x, 48000.0, 3000.0, 3000.0)) {
      ASSERT_TRUE(std::isfinite(test::phase_cycles(point)));
      ASSERT_TRUE(std::isfinite(std::abs(point.residual)));
    }
  }
}

}  // namespace
}  // namespace four76
