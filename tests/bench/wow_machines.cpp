#include "tests/bench/wow_machines.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "core/tone/tone_session.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76::bench {

namespace {

using test::kTwoPi;
constexpr double kNominal_hz = 3000.0, kDbhz = 58.0;

}  // namespace

// Rates of usual parts (sources.md#rotating-parts); strengths invented.
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

const Machine& machine_named(std::string_view name) {
  const auto found = std::ranges::find_if(machines(), [&](const Machine& machine) { return machine.name == name; });
  assert(found != machines().end() && "no machine of that name");
  return *found;
}

std::vector<double> wow_of(const Machine& machine, double seconds, std::uint64_t seed) {
  test::Noise noise(seed);
  std::vector<double> wow(test::frames_in(seconds, kMachineRate_hz));
  std::vector<double> turns;
  for (std::size_t i = 0; i < machine.parts.size(); ++i) turns.push_back(noise.uniform());
  const double share = 1.0 - std::exp(-kTwoPi * 1.5 / kMachineRate_hz),
               slow = 1.0 - std::exp(-kTwoPi * 0.2 / kMachineRate_hz);
  double first = 0.0, second = 0.0, wander = 0.0;
  for (std::size_t n = 0; n < wow.size(); ++n) {
    const double t = static_cast<double>(n) / kMachineRate_hz;
    wander += slow * (noise() - wander);
    const double hunts = machine.hunting_percent * wander * std::sqrt(2.0 / slow);
    for (std::size_t i = 0; i < turns.size(); ++i) {
      const Part& part = machine.parts[i];
      turns[i] +=
          (part.rate_hz * (1.0 + (i == 0 ? hunts : 0.0)) + part.change_hz_per_minute * t / 60.0) / kMachineRate_hz;
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
    const double speed = speed_percent(static_cast<double>(n) / kMachineRate_hz) + wow[n];
    cycles += kNominal_hz * (1.0 + speed / 100.0) / kMachineRate_hz;
    x[n] = static_cast<float>(0.1 * std::sin(kTwoPi * (cycles - std::floor(cycles))));
  }
  test::add_noise_dbhz(x, 0.1, kDbhz, kMachineRate_hz, seed + 1000);
  return x;
}

void each_dial(const std::vector<float>& x, const std::function<void(double t, const Reading&)>& see) {
  ToneSession::Config config;
  config.sample_rate_hz = kMachineRate_hz;
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

}  // namespace four76::bench
