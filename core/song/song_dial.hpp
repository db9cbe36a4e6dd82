// SongDial: the number that a trail gives: the slope of its newest seconds, and what the partials say.
//
//   slope of 1 s, slope of 2 s --> the calm one, unless they lie apart (the trimmer moves) --+
//                       rate of the partials over the last tenths of a second --------------+--> weighed by 1 / u95^2
//
// A good trail's slope is known ten times better than the rate and stands alone; where the trail is young, broken or
// slips, the rate holds the number. Both have a usual distance, which wow and vibrato make and which is learned: it
// counts as uncertain.
//
// Its u95 does not trust the points alone, which a room pulls all one way at a note's end:
// - two slopes that share no sound say what one of them errs by;
// - a machine's speed does not change unless somebody turns the screw: the mean of the last ten seconds (the course)
//   stays within u95 until the number has left it for good, or is too far for anything but the screw.
#pragma once

#include <array>
#include <cstddef>
#include <optional>

#include "core/song/song_follower.hpp"
#include "core/song/song_rates.hpp"
#include "core/song/song_stillness.hpp"

namespace four76 {

class SongDial {
 public:
  explicit SongDial(double window_s) : window_s_(window_s) {}
  void reset() noexcept { *this = SongDial(window_s_); }
  // At each turn; nothing where the trail is too short and the partials do not agree.
  std::optional<SongFollower::Slope> turn(const SongFollower& trail, const SongStillness& still,
                                          const std::optional<SongRates::Agreed>& rate, double time_s) noexcept;

 private:
  std::optional<SongFollower::Slope> slope_and_rate(const SongFollower& trail, const SongStillness& still,
                                                    const std::optional<SongRates::Agreed>& rate,
                                                    double time_s) noexcept;
  std::optional<SongFollower::Slope> steady_slope(const SongFollower& trail, const SongStillness& still,
                                                  double time_s) noexcept;

  void learn_scatter(double calm_speed, bool moves) noexcept;
  void follow_course(double brief_speed, double calm_speed, double time_s) noexcept;
  void begin_course(double speed, double time_s) noexcept;
  [[nodiscard]] double scatter() const noexcept;

  static constexpr std::size_t kBack = 50;  // turns: 2.5 s, so that two calm slopes share no sound
  double window_s_;
  std::array<double, kBack> calm_{};  // the newest slopes of the longer window, by turn
  std::size_t calm_count_ = 0;
  struct Scatter {
    double square = 0.0, weight = 0.0;  // of one of them, as two that share no sound lie apart
  };
  Scatter scatter_, scatter_on_course_;  // the second without what came since the number left the course
  std::optional<double> course_;         // mean speed since the screw was last seen to be turned
  double on_course_at_s_ = 0.0;
  double usual_square_ = 0.0;  // of how far the short and the long slope lie apart
  double usual_rate_square_ =
      2.5e-7;                // of how far the partials' rate and the slope do; a portable's wow, to begin with
  double moved_at_s_ = 0.0;  // when the slopes last lay farther apart than usual
};

}  // namespace four76
