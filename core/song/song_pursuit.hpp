// SongPursuit: follows a tape from where it was found, by several suppositions of where it is and how fast it runs.
//
// Each window carries every SongFollower on; the one that goes on best is shown. Where it has no hold, other speeds are
// tried about the place where it had one, a few at each turn of the dial. What the partials say of the speed
// (SongRates) needs no place: where they agree, they take the trail through a turn of the trimmer by dead reckoning,
// keep it through notes that have a place at each of their periods, and deny suppositions that run at another speed.
// They are believed for a while only: another song of the same tuning has the same partials. Nothing holds where what
// is heard does not look like the reference there (SongLikeness), but for what agrees beyond doubt: somebody talks.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>

#include "core/song/song_follower.hpp"
#include "core/song/song_likeness.hpp"
#include "core/song/song_lock.hpp"
#include "core/song/song_rates.hpp"
#include "core/song/song_stillness.hpp"
#include "core/song/song_window.hpp"

namespace four76 {

class SongPursuit {
 public:
  // The trail went on beside where it was, and was not there any more.
  struct Step {
    double time_s = 0.0;
    double from_s = 0.0, to_s = 0.0;  // beside where it would be had it never stepped (SongFollower::aside_s)
    double score = 0.0;               // of a second of where it went on
  };

  void reset() noexcept;
  void begin(const SongLock::Path& path, double time_s, const SongLikeness& along_path) noexcept;
  // Where it was is not looked at any more.
  void give_up() noexcept { follower_count_ = 0; }
  // A window of the tape that sounds, set; 20 times a second.
  // Where samples are known to have been lost it goes on beside at once.
  void follow(SongWindow& window, double time_s, bool may_have_stepped = false) noexcept;

  [[nodiscard]] bool is_on() const noexcept { return follower_count_ > 0; }
  [[nodiscard]] double held_at_s() const noexcept { return held_at_s_; }
  [[nodiscard]] const std::optional<Step>& step() const noexcept { return step_; }  // by the last window
  [[nodiscard]] const SongFollower& shown() const noexcept { return followers_[0]; }
  [[nodiscard]] const SongLikeness& likeness() const noexcept { return likeness_; }
  // What is heard of late does not look like the song there, nor does it agree beyond doubt.
  [[nodiscard]] bool is_doubtful() const noexcept { return !likeness_.seems_alike() && !shown().is_beyond_doubt(); }
  [[nodiscard]] const SongStillness& stillness() const noexcept { return still_; }
  // What the partials agree on over the last tenths of a second.
  [[nodiscard]] const std::optional<SongRates::Agreed>& rate() const noexcept { return rate_; }

 private:
  void carry_on(SongWindow& window) noexcept;
  [[nodiscard]] bool may_hold(double time_s) const noexcept;
  void listen_to_partials(SongWindow& window) noexcept;
  void turn_as_partials_say(double time_s) noexcept;
  void settle(double time_s, bool may_have_stepped) noexcept;
  void look_around(SongWindow& window) noexcept;
  void look_far(SongWindow& window) noexcept;
  void suppose(const SongFollower& follower) noexcept;
  [[nodiscard]] bool is_denied(const SongFollower& follower) const noexcept;
  [[nodiscard]] std::optional<SongPeak> nearest(std::span<const SongPeak> peaks, double place_s) const noexcept;

  std::array<SongFollower, 6> followers_;  // the one that is shown first
  std::size_t follower_count_ = 0;
  SongLikeness likeness_;
  SongStillness still_;
  SongRates rates_;
  std::optional<SongRates::Agreed> rate_;
  bool is_placed_ = false;  // by the last window
  int around_ = 0;          // which speeds were tried last
  int turns_ = 0;
  double held_at_s_ = 0.0;    // by its place, or by the partials for a while
  double placed_at_s_ = 0.0;  // by its place
  std::optional<Step> step_;
};

}  // namespace four76
