// From samples to the reading: does the whole chain reach the Cramer-Rao bound, and does its u95 hold?
//
// At 8 kHz and 1000 Hz, where a second of tape costs least: the bound knows neither.
#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "core/signal/uncertainty.hpp"
#include "tests/unit/core/coverage.hpp"
#include "tests/unit/core/session_runs.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

constexpr double kRate = 8000.0;
constexpr double kNominal = 1000.0;

struct Trials {
  double rms_over_bound = 0.0;    // for the stretch that the reading says it rests on
  double read = 0.0, held = 0.0;  // trials that were measured, and of these whose u95 held
  double rms_of_u95 = 0.0;        // of the error from kNominal, where that is the machine's own speed
  double measured = 0.0;          // share
};

template <typename Draw>
Trials run(int count, double seconds, double dbhz, Draw&& draw) {
  ToneSession session(test::listening(kRate, kNominal));
  Trials result;
  double square = 0.0;
  int measured = 0;
  for (int trial = 0; trial < count; ++trial) {
    test::Noise random(300u + static_cast<std::uint64_t>(trial));
    const auto cycles = draw(random);
    auto x = test::sound_of(cycles, seconds, kRate, 0.1);
    test::add_noise_dbhz(x, 0.1, dbhz, kRate, 500u + static_cast<std::uint64_t>(trial));
    session.reset();
    session.process(x);
    const Reading reading = session.whole(0);
    if (reading.status != Status::measured) continue;
    ++measured;
    const double error_hz = *reading.frequency_hz - (cycles(seconds) - cycles(0.0)) / seconds;
    square += std::pow(error_hz / cramer_rao_sigma_hz(std::pow(10.0, dbhz / 10.0), reading.trusted_s), 2.0);
    result.rms_of_u95 += std::pow((*reading.frequency_hz / kNominal - 1.0) * 100.0 / *reading.u95_percent, 2.0);
    result.held += std::abs(error_hz) <= *reading.u95_percent / 100.0 * kNominal ? 1.0 : 0.0;
  }
  result.rms_over_bound = std::sqrt(square / std::max(1, measured));
  result.rms_of_u95 = std::sqrt(result.rms_of_u95 / std::max(1, measured));
  result.read = measured;
  result.measured = static_cast<double>(measured) / count;
  return result;
}

// Promised: a test holds 1.15 on fixed seeds.
TEST(ToneSessionBound, IsReachedFrom35To80DbHz) {
  const auto steady = [](test::Noise& random) {
    const double frequency_hz = 1000.0 + 10.0 * (random.uniform() - 0.5);
    const double first = random.uniform();
    return [=](double t) { return first + frequency_hz * t; };
  };
  for (const double dbhz : {35.0, 40.0, 60.0, 80.0})
    for (const double seconds : {0.6, 1.0, 3.0, 10.0}) {
      const auto trials = run(seconds > 5.0 ? 100 : 200, seconds, dbhz, steady);
      EXPECT_LT(trials.rms_over_bound, 1.15) << dbhz << " dB-Hz, " << seconds << " s";
      EXPECT_GE(trials.measured, dbhz > 37.0 ? 1.0 : 0.9) << dbhz << " dB-Hz, " << seconds << " s";
      EXPECT_TRUE(test::covers(trials.held, trials.read)) << dbhz << " dB-Hz, " << seconds << " s";
    }
}

// 200 trials of a true 95 % fall below 92 % in one case of forty.
TEST(ToneSessionBound, U95CoversUnderSinusoidalWow) {
  const auto sinusoid = [](test::Noise& random) {
    return test::SineWow{.mean_hz = 1000.0 + 10.0 * random.uniform(),
                         .peak = 0.002 * random.uniform(),
                         .rate_hz = 0.5 * std::pow(20.0, random.uniform()),
                         .angle = test::kTwoPi * random.uniform()};
  };
  for (const double seconds : {3.0, 8.0}) {
    const Trials trials = run(200, seconds, 60.0, sinusoid);
    EXPECT_TRUE(test::covers(trials.held, trials.read)) << seconds;
  }
}

TEST(ToneSessionBound, U95CoversUnderAPortablesWow) {
  const auto portable = [](test::Noise& random) {
    const double rates[] = {0.52, 1.26, 2.9, 7.6};
    std::vector<test::SineWow> parts;
    for (const double rate_hz : rates)
      parts.push_back({.mean_hz = 0.25 * kNominal,
                       .peak = 0.004 * random.uniform(),
                       .rate_hz = rate_hz,
                       .angle = test::kTwoPi * random.uniform()});
    return [parts](double t) {
      double cycles = 0.0;
      for (const auto& part : parts) cycles += part(t);
      return cycles;
    };
  };
  for (const double seconds : {3.0, 8.0}) {
    const Trials trials = run(200, seconds, 60.0, portable);
    EXPECT_GE(trials.held, 0.92 * trials.read) << seconds;
    EXPECT_GE(trials.rms_of_u95, seconds > 5.0 ? 0.20 : 0.12) << seconds;  // 0.51 is exact, less is too wide
  }
}

}  // namespace
}  // namespace four76
