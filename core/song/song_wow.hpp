// SongWow: wow from a delay track, 0.3 to 3.6 Hz.
//
// The track's spectrum over 6.4 s at a time (Welch 1967), from which what the track withholds is given back: nothing up
// to 1.5 Hz, 6 % at 2.2 Hz, 44 % at 3 Hz (measured with sinusoids). The leads' noise has the shape of the windows and
// is seen from 4.4 Hz on, where the track passes no wow; it is taken out in power, and half of it counts as uncertain,
// beside the spread between the segments and what flutter of 6 Hz, which ten points a second turn into 4, may add.
#pragma once

#include <optional>
#include <span>

#include "core/song/delay_track.hpp"

namespace four76 {

struct SongWow {
  double rms_percent = 0.0;
  double u95_percent = 0.0;
};

// Nothing where fewer than four segments are held.
std::optional<SongWow> wow_of(std::span<const DelayPoint> points);

}  // namespace four76
