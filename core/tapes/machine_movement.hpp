// How a machine's speed moves while it plays music, without knowing the speed itself. Plain data: what one block of
// partials hands to those that look for lines on the tape.
#pragma once

#include <cstddef>

#include "core/song/rate_changer.hpp"

namespace four76 {

inline constexpr std::size_t kMovementStep_samples = 512;  // at kSongRate_hz: 42.7 ms
inline constexpr double kMovementStep_s = static_cast<double>(kMovementStep_samples) / kSongRate_hz;

struct MovementPoint {
  double time_s = 0.0;      // of its middle, from the start of the input
  double step = 0.0;        // ln of the speed over that of the point before, from partials that both have
  double step_sigma = 1.0;  // its standard deviation; large where few partials go on
};

}  // namespace four76
