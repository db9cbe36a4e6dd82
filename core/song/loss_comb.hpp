// LossComb: whether the captured tape jumps along the reference again and again, at a device's own period.
//
// A device that drops a few samples of each block shifts the tempo, and the pitch with it: what the notes' frequencies
// tell over a third of a second is the mean over the jumps. Between them the tape runs at its own speed, though, and
// its movement from frame to frame (TapeMovement) shows them: jumps of equal height at equal intervals are a comb of
// lines in the movement's spectrum, equally high and in phase at one instant of each period. Wow and flutter of a
// machine have a line or a few. A beat that never falters is a comb as well, but a denser one than any few of its
// lines, and the loudness of the reference, which no device changes, has the same lines.
#pragma once

#include <complex>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "core/signal/fft.hpp"
#include "core/song/delay_path.hpp"
#include "core/song/tape_movement.hpp"

namespace four76 {

struct LossComb {
  double period_s = 0.0;
  int lines = 0;
  double strength = 0.0;  // power of the comb over chance's mean
  double in_phase = 0.0;  // 1: lines as equal and in phase as those of jumps
  double between = 0.0;   // power beyond chance between its lines, at their halves to eighths, of theirs
  double of_beat = 0.0;   // mean power of the music's loudness at its lines, over chance's
};

// The combs in so many frames at most. Only the constructor allocates; two steps are for who cannot wait for both.
class LossCombs {
 public:
  explicit LossCombs(std::size_t most_frames);
  // What is looked at from now on: frames in a row.
  void set(std::span<const TapeMovement::Frame> frames) noexcept;
  // The likeliest of 21 ms to half a second that are sure.
  [[nodiscard]] std::optional<LossComb> sure() const noexcept;
  // With a least strength: nothing where its lines' power or what is between them deny it.
  [[nodiscard]] LossComb at(double hz, double least = 0.0) const noexcept;

 private:
  using Complex = std::complex<float>;
  struct Lines {
    std::vector<Complex> values;  // about the middle of the frames, in units of chance's amplitude there
    std::vector<float> chance;    // that amplitude
  };
  [[nodiscard]] std::size_t bin_of(double hz) const noexcept;
  // Of the movement: a quick comb is looked for in the near one, which sees its lines, a slow one in the far one, which
  // sees high jumps and drums.
  [[nodiscard]] const Lines& lines_for(double hz) const noexcept;
  [[nodiscard]] double power_between(double hz) const noexcept;
  [[nodiscard]] double score_of(double hz) const noexcept;
  void transform_movement(std::span<const TapeMovement::Frame> frames, TapeMovement::Sums TapeMovement::Frame::*sums,
                          Lines& into) noexcept;
  void transform(Lines& into) noexcept;

  std::vector<float> values_, scratch_, record_;
  RealFft fft_;
  Lines beat_, near_, far_;  // of the loudness, and of both movements
  double bin_hz_;
};

// Nothing either where the tape is shorter than five seconds. Both at kSongRate_hz.
std::optional<LossComb> sure_comb(std::span<const float> reference, std::span<const float> tape, const DelayPath& path);

}  // namespace four76
