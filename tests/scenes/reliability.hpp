// Stated against actual coverage: how often the machine's speed, without the wow that the stretch happened to hold,
// lies within the half-width for 50, 68, ... 99 %, were the error Gaussian with the stated u95. That is the harder of
// the two truths: the mean of the stretch itself, wow and all, is met much closer.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "tests/scenes/run_scenes.hpp"

namespace four76::scenes {

struct Level {
  double stated_percent;
  double half_width;  // of the standard normal distribution, two-sided (tables)
};
inline constexpr std::array<Level, 6> kLevels = {
    {{50.0, 0.6745}, {68.0, 0.9945}, {80.0, 1.2816}, {90.0, 1.6449}, {95.0, 1.9600}, {99.0, 2.5758}}};

struct Reliability {
  std::string name;
  int count = 0;
  std::array<double, kLevels.size()> actual_percent{};
  double rms_of_u95 = 0.0;  // of error / u95; 1 / 1.96 = 0.51 where u95 is exactly right
};

enum class Rows : std::uint8_t { kinds, classes };

// One curve a kind or a class of scenes, the last of all; scenes without a truth are left out.
std::vector<Reliability> reliability_of(const std::vector<Played>& all, Rows rows = Rows::kinds);

}  // namespace four76::scenes
