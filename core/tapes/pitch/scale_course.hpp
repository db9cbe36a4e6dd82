// ScaleCourse: how the machine's speed moves while it plays music: the scale of semitones itself, followed.
//
// The partials of each frame, taken modulo a semitone about the scale that was last known, say where the scale is now.
// A Kalman filter of one state follows it: a random walk, its measurement the partials' mean under a Gaussian window of
// 12 cents, its variance that of the notes' own intonation over their number. A turn of the trimmer that most partials
// make together moves the state at once.
//
// Wow: the partials are dealt into two halves, each followed by a filter of its own. What both halves tell alike
// between 0.1 and 3 Hz is the machine's: its mean product is the variance of the wow, and the notes' own error, which
// differs from half to half, falls out.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>

#include "core/tapes/machine_movement.hpp"
#include "core/tapes/pitch/partial_tracker.hpp"

namespace four76 {

class ScaleCourse {
 public:
  ScaleCourse();
  void reset() noexcept;
  // `centre_cents`: where the scale lies on the whole (ConcertPitch), nothing while it is not known.
  void add(std::span<const Partial> frame, std::optional<double> centre_cents) noexcept;

  // Of the newest frame; nothing before the scale was known.
  [[nodiscard]] std::optional<MovementPoint> movement() const noexcept { return movement_; }
  // At least so much: of wow at 0.5, 1.2 and 2 Hz the filters leave 0.87, 0.70 and 0.47 (seen on chords without noise).
  // A turn of the trimmer that is no quicker than wow counts as wow.
  // Nothing before 10 s since it began or a quick turn, or where the halves do not agree.
  [[nodiscard]] std::optional<double> wow_rms_percent() const noexcept;
  // A straight line through all of it; nothing before a minute.
  [[nodiscard]] std::optional<double> drift_percent_per_minute() const noexcept;

  struct Lately {
    double percent = 0.0, u95_percent = 0.0;
  };
  // The last second against the mean of the first five.
  [[nodiscard]] std::optional<Lately> lately() const noexcept;

 private:
  struct Follower {
    double at = 0.0;                // cents, of the scale
    double variance = 0.0;          // cents^2
    double slow = 0.0, fast = 0.0;  // one-pole means: the band is what lies between them
  };
  void follow(Follower& follower, std::span<const Partial> frame, int half, double moved) const noexcept;
  void begin_wow_anew(double moved) noexcept;
  [[nodiscard]] double turn_of(std::span<const Partial> frame) const noexcept;

  std::array<Follower, 3> followers_{};  // two halves, then all
  std::optional<MovementPoint> movement_;
  bool begun_ = false;
  double time_s_ = 0.0;
  // Of the band of both halves.
  double both_ = 0.0, one_ = 0.0, other_ = 0.0;
  double banded_frames_ = 0.0;
  // The straight line: sums of time and cents.
  double n_ = 0.0, t_ = 0.0, tt_ = 0.0, y_ = 0.0, ty_ = 0.0;
  double first_sum_ = 0.0, first_count_ = 0.0;
  double lately_ = 0.0, lately_variance_ = 0.0;
};

}  // namespace four76
