// LineScan: the line-scan whistle of a television that stood in the room when a tape was recorded.
//
// 15,625 Hz where a picture has 625 lines, 15,734.27 Hz where it has 525 (ITU-R BT.470, from memory). Played on another
// machine, the whistle lies off that by the machine's error, and wows as the music does. A screen or a switching supply
// in the listener's room is steady.
//
//   each channel -> baseband at 3 kHz -> frames of 85 ms, one each 43 ms -> power over the floor beside each bin
//                                          |
//                                          +-- as they are: a line that stays is steady
//                                          +-- the machine's movement taken out: a line that moves with it
//
// Which of the two a line is, MovementMatch says. The frames wait for the movement, 0.9 s at most: process() and
// moved() are to be called in turn, in blocks shorter than that.
// Valid from 36 kHz on; below that nothing is ever found. Range: -8 to +8 % of both nominals.
#pragma once

#include <array>
#include <complex>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/signal/fft.hpp"
#include "core/tapes/lines/baseband.hpp"
#include "core/tapes/lines/line_follower.hpp"
#include "core/tapes/lines/movement_course.hpp"
#include "core/tapes/machine_movement.hpp"
#include "core/tapes/tape_evidence.hpp"

namespace four76 {

inline constexpr double kLineScan625_hz = 15625.0;
inline constexpr double kLineScan525_hz = 15734.266;

class LineScan {
 public:
  struct Config {
    double sample_rate_hz = 48000.0;  // 8000 to 192000
    int channels = 1;  // 1 or 2, interleaved; each is looked at by itself: heads out of line cancel a sum
  };
  explicit LineScan(const Config& config);

  // A sample that is not finite counts as silence.
  void process(std::span<const float> interleaved) noexcept;
  // The machine's relative movement, in order. `time_s` counts from the first sample.
  void moved(const MovementPoint& point) noexcept;

  // Nothing, or one line as of each nominal that it can be of: the probability that it is on the tape is shared out
  // between the two. Allocates.
  [[nodiscard]] std::vector<Evidence> found() const;

 private:
  static constexpr std::size_t kFrame = 256, kHop = 128, kRoom = 4096;
  using Bins = std::array<float, kFrame>;

  void take_frames() noexcept;
  void take_frame(bool movement_known) noexcept;
  void add_spectrum(std::span<const std::complex<float>> ring, bool take_movement_out, Bins& power) noexcept;
  void take_room_line_out(std::span<std::complex<float>> frame) const noexcept;
  void judge() noexcept;
  [[nodiscard]] double frame_time_s() const noexcept;  // of the next frame's middle
  [[nodiscard]] double room_odds(double hz) const noexcept;

  Config config_;
  std::optional<Baseband> baseband_;  // nothing: the sample rate is too low
  ComplexFft fft_;
  std::array<float, kFrame> window_{};
  std::array<std::complex<float>, kFrame> frame_{}, turn_{};
  std::vector<std::complex<float>> rings_;  // kRoom a channel
  std::uint64_t baseband_count_ = 0, next_frame_ = 0;
  MovementCourse movement_;
  LineFollower steady_, moving_;
  double steady_on_tape_ = 0.5, moving_on_tape_ = 0.5;
  bool steady_is_rooms_ = false;
  std::size_t until_judged_ = 0;
};

}  // namespace four76
