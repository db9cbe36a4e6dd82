// The dial that stands still: its jitter against a plain moving average of the same settling, and its steps.
//
// The peer is the mean of the true deviation over the newest 0.333 s: 0.3 s after a step it has come within 10 % of it.
// It knows the deviation without noise, the dial has to hear it.
#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <string>
#include <vector>

#include "tests/unit/core/session_runs.hpp"

namespace four76 {
namespace {

using test::kTwoPi;
constexpr double kSampleRateHz = 48000.0;
constexpr double kPeerS = 0.3 / 0.9;
constexpr double kOffPercent = 0.4;

struct Part {
  double rate_hz, peak_percent, angle;
};
struct Machine {
  std::string name;
  std::vector<Part> parts;
  double random_percent = 0.0;  // root mean square, below some 1.5 Hz
};

// Peaks invented; rates of a capstan of 2 mm, a roller, a reel and a belt with its harmonic:
// sources.md#rotating-parts.
const Machine kPortable{"portable", {{7.6, 0.1, 0}, {1.26, 0.15, 1}, {0.52, 0.15, 2}, {2.9, 0.08, 3}, {5.8, 0.03, 1}}};
const Machine kCapstan{"capstan", {{6.1, 0.4, 0.3}}};
const Machine kBelt{"belt", {{1.7, 0.3, 0}, {3.4, 0.1, 1}}};
const Machine kMixed{"mixed", {{7.6, 0.1, 0}, {1.26, 0.15, 1}, {2.9, 0.1, 3}}, 0.03};
const Machine kRandom{"random", {}, 0.1};

struct Run {
  std::vector<float> sound;
  std::vector<double> deviation;  // percent, without the step
};
Run play(const Machine& machine, double seconds, double step_percent, double step_at_s, std::uint64_t seed) {
  Run run;
  test::Noise noise(seed);
  const double share = 1.0 - std::exp(-kTwoPi * 1.5 / kSampleRateHz);
  double first = 0.0;
  double second = 0.0;
  double cycles = 0.0;
  for (std::size_t i = 0; i < test::frames_in(seconds, kSampleRateHz); ++i) {
    const double t = static_cast<double>(i) / kSampleRateHz;
    double deviation = 0.0;
    for (const Part& part : machine.parts)
      deviation += part.peak_percent * std::sin(kTwoPi * part.rate_hz * t + part.angle);
    first += share * (noise() - first);
    second += share * (first - second);
    deviation += machine.random_percent * second * std::sqrt(4.0 / share);
    run.deviation.push_back(deviation);
    cycles += 3000.0 * (1.0 + (kOffPercent + deviation + (t > step_at_s ? step_percent : 0.0)) / 100.0) / kSampleRateHz;
    run.sound.push_back(0.1F * static_cast<float>(std::sin(kTwoPi * (cycles - std::floor(cycles)))));
  }
  test::add_noise_dbhz(run.sound, 0.1, 58.0, kSampleRateHz, seed + 1);
  return run;
}

struct Scatter {
  double sum = 0.0, squares = 0.0, count = 0.0;
  void add(double x) { sum += x, squares += x * x, count += 1.0; }
  [[nodiscard]] double sigma() const { return std::sqrt(squares / count - sum * sum / count / count); }
};

// Of the dial and of the peer, from 10 s on.
struct Jitter {
  double still = 0.0, plain = 0.0, peer = 0.0, inside = 0.0, u95 = 0.0;
};
Jitter jitter_of(const Machine& machine, std::uint64_t seed) {
  const Run run = play(machine, 40.0, 0.0, 0.0, seed);
  ToneSession session(test::listening(kSampleRateHz));
  Scatter still;
  Scatter plain;
  Scatter peer;
  double inside = 0.0;
  double u95 = 0.0;
  test::each_dial(session, run.sound, [&](const Reading& dial) {
    if (session.time_s() < 10.0 || dial.status != Status::measured) return;
    still.add(*dial.speed_error_percent);
    plain.add(*dial.plain_speed_error_percent);
    inside += std::abs(*dial.speed_error_percent - kOffPercent) <= *dial.u95_percent ? 1.0 : 0.0;
    u95 += *dial.u95_percent;
    const std::size_t end = std::min(run.deviation.size(), test::frames_in(session.time_s(), kSampleRateHz));
    const std::size_t length = test::frames_in(kPeerS, kSampleRateHz);
    double mean = 0.0;
    for (std::size_t i = end - length; i < end; ++i) mean += run.deviation[i] / static_cast<double>(length);
    peer.add(mean);
  });
  return {still.sigma(), plain.sigma(), peer.sigma(), inside / still.count, u95 / still.count};
}

TEST(StillDial, DancesAtMostHalfAsMuchAsAPlainAverage) {
  for (const Machine& machine : {kPortable, kBelt, kMixed})
    for (const std::uint64_t seed : {1U, 2U}) {
      const Jitter jitter = jitter_of(machine, seed);
      EXPECT_LT(jitter.still, 0.5 * jitter.peer) << machine.name << seed;
      EXPECT_LT(jitter.still, 0.5 * jitter.plain) << machine.name << seed;
    }
}

// Random wow cannot be foretold: what is left over is what it would have been. A hundredth is allowed for what chance
// lets look like a sine for a moment.
TEST(StillDial, IsNeverWorseWhereTheWowIsRandom) {
  for (const std::uint64_t seed : {3U, 4U, 5U}) {
    const Jitter jitter = jitter_of(kRandom, seed);
    EXPECT_LT(jitter.still, 1.01 * jitter.plain) << seed;
  }
}

// And that is worth having: no wider than half of what two sigma of the plain dial would be.
TEST(StillDial, StaysWithinItsUncertainty) {
  for (const Machine& machine : {kPortable, kCapstan, kBelt}) {
    const Jitter jitter = jitter_of(machine, 6);
    EXPECT_GE(jitter.inside, 0.95) << machine.name;
    EXPECT_LT(jitter.u95, jitter.plain) << machine.name;
  }
}

struct Step {
  double reached_s = -1.0, beyond_percent = 0.0, late_percent = 0.0;
};
Step step_of(const Machine& machine, double step_percent, double at_s, std::uint64_t seed) {
  const Run run = play(machine, at_s + 3.0, step_percent, at_s, seed);
  ToneSession session(test::listening(kSampleRateHz));
  Step found;
  test::each_dial(session, run.sound, [&](const Reading& dial) {
    const double since_s = session.time_s() - at_s;
    if (since_s < 0.0 || !dial.speed_error_percent) return;
    const double off = *dial.speed_error_percent - kOffPercent - step_percent;
    if (found.reached_s < 0.0 && std::abs(off) < 0.1 * std::abs(step_percent)) found.reached_s = since_s;
    found.beyond_percent = std::max(found.beyond_percent, step_percent > 0.0 ? off : -off);
    if (since_s > 0.5) found.late_percent = std::max(found.late_percent, std::abs(off));
  });
  return found;
}

TEST(StillDial, FollowsAStepAtOnceAndDoesNotOvershoot) {
  for (const Machine& machine : {kCapstan, kPortable})
    for (const double step : {0.5, -1.0, 3.0})
      for (const double at_s : {15.0, 18.37}) {
        const Step found = step_of(machine, step, at_s, 7);
        const auto what = machine.name + " " + std::to_string(step) + " at " + std::to_string(at_s);
        EXPECT_GE(found.reached_s, 0.0) << what;
        EXPECT_LE(found.reached_s, 0.5) << what;
        EXPECT_LT(found.beyond_percent, 0.1 * std::abs(step)) << what;
        EXPECT_LT(found.late_percent, 0.1 * std::abs(step)) << what;
      }
}

TEST(StillDial, FollowsSmallStepsOnASteadyWow) {
  for (const double step : {0.05, -0.1, 0.2}) {
    const Step found = step_of(kCapstan, step, 16.2, 8);
    EXPECT_GE(found.reached_s, 0.0) << step;
    EXPECT_LE(found.reached_s, 0.5) << step;
    EXPECT_LT(found.beyond_percent, 0.1 * std::abs(step)) << step;
  }
}

}  // namespace
}  // namespace four76
