// Knots as a track would give them, of any course of the phase and of a worn portable's: for the blocks that read
// knots.
#pragma once

#include <cmath>
#include <cstdint>
#include <vector>

#include "core/tone/phase_knot.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76::test {

inline constexpr double kKnotS = 0.01;

// White phase noise of one knot: variance of N0/C / (2 span) square radians (derived in mean_speed.hpp).
inline double knot_noise_cycles(double dbhz) {
  return std::sqrt(std::pow(10.0, -dbhz / 10.0) / (2.0 * kKnotS)) / kTwoPi;
}

template <typename Cycles>
std::vector<PhaseKnot> knots_of(Cycles&& cycles, double seconds, double noise_cycles, std::uint64_t seed) {
  Noise noise(seed);
  std::vector<PhaseKnot> knots;
  for (double t = kKnotS / 2.0; t < seconds; t += kKnotS) {
    PhaseKnot knot;
    knot.time_s = t;
    knot.span_s = kKnotS;
    knot.phase_cycles = cycles(t) + noise_cycles * noise();
    knot.amplitude = 0.1F;
    knot.scatter = 1e-3F;
    knots.push_back(knot);
  }
  return knots;
}

inline double portable(double t) {  // 0.12 %, 0.10 % and 0.08 % of wow
  return 3010.0 * t + 3000.0 * (0.0012 / (kTwoPi * 0.52) * std::sin(kTwoPi * 0.52 * t) +
                                0.0010 / (kTwoPi * 1.26) * std::sin(kTwoPi * 1.26 * t) +
                                0.0008 / (kTwoPi * 7.6) * std::sin(kTwoPi * 7.6 * t));
}

}  // namespace four76::test
