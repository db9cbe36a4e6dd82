// SongDial: the number that a trail gives: the slope of its newest seconds, and what the partials say.
//
//   slope of 1 s, slope of 2 s --> the calm one, unless they lie apart (the trimmer moves) --+
//                       rate of the partials over the last tenths of a second --------------+--> weighed by 1 / u95^2
//
// A good trail's slope is known ten times better than the rate and stands alone; where the trail is young, broken or
// slips, the rate holds the number. Both have a usual distance, which wow and vibrato make and which is learned: it
// counts as uncertain.
#pragma once

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
  std::optional<SongFollower::Slope> steady_slope(const SongFollower& trail, const SongStillness& still,
                                                  double time_s) noexcept;

  double window_s_;
  double usual_square_ = 0.0;  // of how far the short and the long slope lie apart
  double usual_rate_square_ =
      2.5e-7;                // of how far the partials' rate and the slope do; a portable's wow, to begin with
  double moved_at_s_ = 0.0;  // when the slopes last lay farther apart than usual
};

}  // namespace four76
