// LossComb: whether the captured tape jumps along the reference again and again, at a device's own period.
//
// A device that drops a few samples of each block shifts the tempo, and the pitch with it: what the notes' frequencies
// tell over a third of a second is the mean over the jumps. Between them the tape runs at its own speed, though. Frames
// of 11 ms of tape and reference, side by side along the track, tell how the delay moves from one to the next,
//
//   s = sum w omega sin(phi) / sum w omega^2,   phi the turn of the cross spectrum's bin from frame to frame,
//
// and jumps of equal height at equal intervals are a comb of lines in the spectrum of s, equally high and in phase at
// one instant of each period. Wow and flutter of a machine have a line or a few. A beat that never falters is a comb as
// well, but a denser one than any few of its lines.
#pragma once

#include <optional>
#include <span>

#include "core/song/delay_path.hpp"

namespace four76 {

struct LossComb {
  double period_s = 0.0;
  int lines = 0;
  double strength = 0.0;  // power of the comb over chance's mean
  double in_phase = 0.0;  // 1: lines as equal and in phase as those of jumps
  double between = 0.0;   // power beyond chance between its lines, at their halves to eighths, of theirs
};

// The likeliest period of 21 ms to half a second, true or not; nothing where the tape is shorter than five seconds.
// Both at kSongRate_hz.
std::optional<LossComb> likeliest_comb(std::span<const float> reference, std::span<const float> tape,
                                       const DelayPath& path);
[[nodiscard]] bool is_sure(const LossComb& comb) noexcept;

}  // namespace four76
