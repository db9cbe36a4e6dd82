// ScaleCourse: how the machine's speed moves while it plays music: the scale of semitones itself, followed.
//
// The partials of each frame, taken modulo a semitone about the scale that was last known, say where the scale is now.
// A Kalman filter of one state follows it: a random walk, its measurement the partials' mean under a Gaussian window of
// 12 cents, its variance that of the notes' own intonation over their number. A turn of the trimmer that most partials
// make together moves the state at once.
#pragma once

#include <cstddef>
#include <optional>
#include <span>

#include "core/tapes/machine_movement.hpp"
#include "core/tapes/pitch/partial_tracker.hpp"
#include "core/tapes/pitch/wow_spectrum.hpp"

namespace four76 {

class ScaleCourse {
 public:
  ScaleCourse();
  void reset() noexcept;
  // `centre_cents`: where the scale lies on the whole (ConcertPitch), nothing while it is not known.
  void add(std::span<const Partial> frame, std::optional<double> centre_cents) noexcept;

  // Of the newest frame; nothing before the scale was known.
  [[nodiscard]] std::optional<MovementPoint> movement() const noexcept { return movement_; }
  // Since it began or a quick turn. A turn of the trimmer that is no quicker than wow counts as wow.
  [[nodiscard]] std::optional<SharedWow> wow() const noexcept { return wow_.wow(); }
  // A straight line through all of it; nothing before a minute.
  [[nodiscard]] std::optional<double> drift_percent_per_minute() const noexcept;

  struct Lately {
    double percent = 0.0, u95_percent = 0.0;
  };
  // The last second against the mean of the first five.
  [[nodiscard]] std::optional<Lately> lately() const noexcept;

 private:
  void follow(std::span<const Partial> frame) noexcept;
  [[nodiscard]] double turn_of(std::span<const Partial> frame) const noexcept;

  double at_ = 0.0;        // cents, of the scale
  double variance_ = 0.0;  // cents^2
  std::optional<MovementPoint> movement_;
  bool begun_ = false;
  double time_s_ = 0.0;
  // The straight line: sums of time and cents.
  double n_ = 0.0, t_ = 0.0, tt_ = 0.0, y_ = 0.0, ty_ = 0.0;
  double first_sum_ = 0.0, first_count_ = 0.0;
  double lately_ = 0.0, lately_variance_ = 0.0;
  WowSpectrum wow_;
};

}  // namespace four76
