// Wow of a known rate on recorded music, as four76_any_tape plays it: how near it is read, and how often a rate is
// told.
#pragma once

#include <random>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "core/tapes/tape_evidence.hpp"
#include "tests/scenes/promises.hpp"
#include "tests/scenes/tape.hpp"

namespace four76::scenes {

struct WowTape {
  std::vector<Sinusoid> wow;  // one line, or nothing
  TapeFindings findings;
};

// Of 0.1 to 0.4 % RMS, at 0.4 to 2.5 Hz; both as likely in each octave.
std::vector<Sinusoid> one_line_of_wow(std::mt19937_64& random);

struct WowFigures {
  struct Band {
    double up_to_hz;
    std::vector<double> ratios;  // what is read over the truth, where it is known
  };
  std::vector<Band> bands{{0.7, {}}, {1.3, {}}, {2.5, {}}};
  std::vector<double> ratios, errors;  // of all; of the rate over its ±
  int lines = 0, known = 0, held = 0, at_least = 0, at_least_held = 0, rates = 0, rates_held = 0;
  int steady = 0, steady_known = 0, steady_rates = 0;
};

WowFigures count_wow(std::span<const WowTape> tapes);
// What, and the figure.
std::vector<std::pair<std::string, std::string>> wow_rows(const WowFigures& figures);
void promise_wow(Promises& promises, const WowFigures& figures);

}  // namespace four76::scenes
