// What was found of the Cramer-Rao bound: RMS errors of the reading by C/N0 and length.
#pragma once

#include <array>

namespace four76::bench {

inline constexpr std::array kLevelsDbhz = {35.0, 40.0, 50.0, 60.0, 70.0, 80.0};
inline constexpr std::array kLengthsS = {0.5, 1.0, 2.0, 5.0, 10.0, 30.0};

struct BoundCell {
  double of_stretch = 0.0;  // RMS error over the bound for the stretch that the reading rests on
  double of_whole = 0.0;    // and for all of the sound that was given
  double rms_hz = 0.0;
  double covered_percent = 0.0;  // of trials within u95
  double read_percent = 0.0;     // of trials that gave a number
};
using BoundTable = std::array<std::array<BoundCell, kLengthsS.size()>, kLevelsDbhz.size()>;

}  // namespace four76::bench
