// ConcertPitch: where the notes of a piece lie between the semitones of A = 440 Hz.
//
// A histogram of all partials by pitch, one cent a bin, in stretches of 5.5 s. Of it:
//
//   m   the centre modulo a semitone: a weighted mean under a Gaussian window of 10 cents about m itself, found anew
//       until it stands (an M-estimate, started at the circular mean). Each semitone's share counts by its square root,
//       so that a note that the room favours does not decide
//   R   the concentration: the length of the circular mean, 1 where all lie at one place, near 0 where none is
//   preferred u   1.96 times the deviation of m by the jackknife, over stretches and over semitones together: a room
//   pulls the same
//       notes each time, which the stretches alone do not show
//
// A partial that goes on for more than 8 s does not count: it is no note. Partials of the 5th, 7th, 10th and 14th order
// of a lower one do not count: they lie 14 and 31 cents below the scale. Constant memory: when kMostStretches are full,
// neighbours become one.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "core/tapes/pitch/partial_tracker.hpp"

namespace four76 {

struct Tuning {
  double cents = 0.0;      // of the piece's A above 440 Hz, -50 to 50
  double u95_cents = 0.0;  // of the measurement
  double concentration = 0.0;
  double heard_s = 0.0;  // with partials
};

class ConcertPitch {
 public:
  ConcertPitch();
  void reset() noexcept;
  void add(std::span<const Partial> frame) noexcept;

  // Nothing before two stretches. Not noexcept: allocates.
  [[nodiscard]] std::optional<Tuning> tuning() const;
  // The centre alone, as last found; nothing before the first stretch.
  [[nodiscard]] std::optional<double> centre_cents() const noexcept { return centre_; }

 private:
  using Histogram = std::vector<float>;
  struct Stretch {
    Histogram partials;
    int frames = 0;
  };
  void end_stretch() noexcept;
  void fold_stretches() noexcept;

  std::vector<Stretch> stretches_;  // all allocated; the first `used_` are full, the next one fills
  std::size_t used_ = 0;
  int frames_a_stretch_;
  Histogram all_;
  std::optional<double> centre_;
};

}  // namespace four76
