// How still the dial stands, and how fast it follows: a table for wow of many kinds.
//
//   four76_steadiness [SEED]
//
// average: the mean of the true deviation over the newest 0.333 s, which a step takes 0.3 s to bring within 10 %; it
//          knows the deviation without noise, the dial has to hear it.
// plain:   the dial as it would read without what it has learned of the wow.
// still:   the dial.
// Jitter is the standard deviation from 12 s on, a listening of 40 s. Steps come at four moments after half a minute,
// as service manuals let a machine run before it is adjusted; reached is when the dial has come within a tenth of the
// step for the first time and, for the slowest of the four, the time it took; over is the farthest beyond, in percent
// of the step, less the jitter that it had before (three sigma). Inside is the share of measured rows whose u95 held
// the machine's speed.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <string>
#include <vector>

#include "core/tone/tone_session.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

using test::kTwoPi;
constexpr double kRate_hz = 24000.0, kNominal_hz = 3000.0, kDbhz = 58.0;
constexpr double kAverage_s = 0.3 / 0.9;

struct Part {
  double rate_hz, peak_percent;
  double change_hz_per_minute = 0.0;
};
struct Machine {
  const char* name;
  std::vector<Part> parts;
  double random_percent = 0.0;   // root mean square, below some 1.5 Hz
  double jolt_percent = 0.0;     // a belt's joint: a pulse of 60 ms once a turn of the first part
  double hunting_percent = 0.0;  // the first part's rate wanders by that share
};

// Rates of usual parts (facts: derived); strengths invented.
const std::vector<Machine>& machines() {
  static const std::vector<Machine> kMachines{
      {"capstan", {{7.6, 0.3}}},
      {"roller with a flat spot", {{1.26, 0.3}, {2.52, 0.15}, {3.78, 0.07}, {5.04, 0.03}}},
      {"belt with its multiples", {{1.7, 0.3}, {3.4, 0.1}, {5.1, 0.06}, {6.8, 0.04}, {8.5, 0.02}}},
      {"belt with a jolt", {{1.7, 0.1}}, 0.0, 0.4},
      {"portable of five parts", {{7.6, 0.1}, {1.26, 0.15}, {0.52, 0.15}, {2.9, 0.08}, {5.8, 0.03}}},
      {"the same, a little random", {{7.6, 0.1}, {1.26, 0.15}, {0.52, 0.15}, {2.9, 0.08}, {5.8, 0.03}}, 0.03},
      {"reel that moves", {{0.5, 0.3, 0.03}, {7.6, 0.05}}},
      {"two rates that beat", {{1.26, 0.2}, {1.38, 0.2}}},
      {"motor that hunts", {{2.9, 0.2}}, 0.0, 0.0, 0.02},
      {"random only", {}, 0.1},
      {"good deck", {{6.1, 0.03}, {1.2, 0.02}}, 0.005},
  };
  return kMachines;
}

// Percent off the machine's speed, sample by sample.
std::vector<double> wow_of(const Machine& machine, double seconds, std::uint64_t seed) {
  test::Noise noise(seed);
  std::vector<double> wow(test::frames_in(seconds, kRate_hz));
  std::vector<double> turns;
  for (std::size_t i = 0; i < machine.parts.size(); ++i) turns.push_back(noise.uniform());
  const double share = 1.0 - std::exp(-kTwoPi * 1.5 / kRate_hz), slow = 1.0 - std::exp(-kTwoPi * 0.2 / kRate_hz);
  double first = 0.0, second = 0.0, wander = 0.0;
  for (std::size_t n = 0; n < wow.size(); ++n) {
    const double t = static_cast<double>(n) / kRate_hz;
    wander += slow * (noise() - wander);
    const double hunts = machine.hunting_percent * wander * std::sqrt(2.0 / slow);
    for (std::size_t i = 0; i < turns.size(); ++i) {
      const Part& part = machine.parts[i];
      turns[i] += (part.rate_hz * (1.0 + (i == 0 ? hunts : 0.0)) + part.change_hz_per_minute * t / 60.0) / kRate_hz;
      wow[n] += part.peak_percent * std::sin(kTwoPi * turns[i]);
    }
    if (machine.jolt_percent > 0.0) {  // a raised cosine, less its mean over a turn
      const double since_s = (turns[0] - std::floor(turns[0])) / machine.parts[0].rate_hz, lasts_s = 0.06;
      const double pulse = since_s < lasts_s ? 0.5 - 0.5 * std::cos(kTwoPi * since_s / lasts_s) : 0.0;
      wow[n] += machine.jolt_percent * (pulse - 0.5 * lasts_s * machine.parts[0].rate_hz);
    }
    first += share * (noise() - first);
    second += share * (first - second);
    wow[n] += machine.random_percent * second * std::sqrt(4.0 / share);
  }
  return wow;
}

std::vector<float> play(const std::vector<double>& wow, const std::function<double(double)>& speed_percent,
                        std::uint64_t seed) {
  std::vector<float> x(wow.size());
  double cycles = 0.0;
  for (std::size_t n = 0; n < x.size(); ++n) {
    const double speed = speed_percent(static_cast<double>(n) / kRate_hz) + wow[n];
    cycles += kNominal_hz * (1.0 + speed / 100.0) / kRate_hz;
    x[n] = static_cast<float>(0.1 * std::sin(kTwoPi * (cycles - std::floor(cycles))));
  }
  test::add_noise_dbhz(x, 0.1, kDbhz, kRate_hz, seed + 1000);
  return x;
}

void each_dial(const std::vector<float>& x, const std::function<void(double t, const Reading&)>& see) {
  ToneSession::Config config;
  config.sample_rate_hz = kRate_hz;
  config.nominal_hz = kNominal_hz;
  ToneSession session(config);
  std::uint64_t count = 0;
  constexpr std::size_t kPiece = 60;
  for (std::size_t at = 0; at + kPiece <= x.size(); at += kPiece) {
    session.process(std::span(x).subspan(at, kPiece));
    if (session.dial_count() != count) see(session.time_s(), session.dial(0));
    count = session.dial_count();
  }
}

struct Scatter {
  double sum = 0.0, squares = 0.0, count = 0.0;
  void add(double value) { sum += value, squares += value * value, count += 1.0; }
  [[nodiscard]] double sigma() const { return std::sqrt(std::max(0.0, squares / count - sum * sum / count / count)); }
};

struct Stillness {
  double average = 0.0, plain = 0.0, still = 0.0, inside = 0.0;
};
Stillness stillness_of(const Machine& machine, std::uint64_t seed) {
  constexpr double kSpeed_percent = 0.4;
  const auto wow = wow_of(machine, 40.0, seed);
  Scatter average, plain, still;
  double inside = 0.0;
  each_dial(play(
                wow, [](double) { return kSpeed_percent; }, seed),
            [&](double t, const Reading& dial) {
              if (t < 12.0 || dial.status != Status::measured) return;
              still.add(*dial.speed_error_percent);
              plain.add(*dial.plain_speed_error_percent);
              inside += std::abs(*dial.speed_error_percent - kSpeed_percent) <= *dial.u95_percent ? 1.0 : 0.0;
              const std::size_t end = std::min(wow.size(), test::frames_in(t, kRate_hz));
              const std::size_t length = test::frames_in(kAverage_s, kRate_hz);
              double mean = 0.0;
              for (std::size_t n = end - length; n < end; ++n) mean += wow[n] / static_cast<double>(length);
              average.add(mean);
            });
  return {average.sigma(), plain.sigma(), still.sigma(), 100.0 * inside / std::max(1.0, still.count)};
}

struct Followed {
  double slowest_s = 0.0;     // of the four; 9 where one never came
  double over_percent = 0.0;  // of the step
};
Followed follow(const Machine& machine, double step_percent, double sigma_percent, std::uint64_t seed) {
  Followed worst;
  for (const double at_s : {30.0, 30.37, 31.11, 33.7}) {
    const auto wow = wow_of(machine, at_s + 2.0, seed + static_cast<std::uint64_t>(at_s * 100.0));
    const auto speed = [&](double t) { return t > at_s ? 0.4 + step_percent : 0.4; };
    double reached_s = 9.0, beyond = 0.0;
    each_dial(play(wow, speed, seed), [&](double t, const Reading& dial) {
      if (t < at_s || !dial.speed_error_percent) return;
      const double off = *dial.speed_error_percent - 0.4 - step_percent;
      if (reached_s > 8.0 && std::abs(off) < 0.1 * std::abs(step_percent)) reached_s = t - at_s;
      beyond = std::max(beyond, step_percent > 0.0 ? off : -off);
    });
    worst.slowest_s = std::max(worst.slowest_s, reached_s);
    worst.over_percent =
        std::max(worst.over_percent, 100.0 * std::max(0.0, beyond - 3.0 * sigma_percent) / std::abs(step_percent));
  }
  return worst;
}

int run(std::uint64_t seed) {
  std::printf("%-26s %8s %8s %8s %7s %7s %7s   %s\n", "", "average", "plain", "still", "/avg", "/plain", "inside",
              "reached, s, and over, % : 0.05 %     0.3 %      3 %");
  for (const Machine& machine : machines()) {
    const Stillness found = stillness_of(machine, seed);
    std::printf("%-26s %7.4f%% %7.4f%% %7.4f%% %7.2f %7.2f %6.1f%%  ", machine.name, found.average, found.plain,
                found.still, found.still / found.average, found.still / found.plain, found.inside);
    for (const double step : {0.05, -0.3, 3.0}) {
      const Followed followed = follow(machine, step, found.still, seed);
      std::printf("  %5.2f %5.1f", followed.slowest_s, followed.over_percent);
    }
    std::printf("\n");
    std::fflush(stdout);
  }
  return 0;
}

}  // namespace
}  // namespace four76

int main(int argc, char** argv) { return four76::run(argc > 1 ? std::strtoull(argv[1], nullptr, 10) : 1); }
