// SongJumps: whether a device loses or repeats a few samples of each of its blocks of the song that is followed.
//
// The reference is read along the trail and the tape's movement along it kept (TapeMovement); once a second a comb of
// jumps is looked for in all of the newest 22 seconds that there are (LossCombs). One that is sure twice in a row is
// believed, until the newest six seconds do not show it any more. Nothing allocates after the constructor.
#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "core/song/loss_comb.hpp"
#include "core/song/rate_changer.hpp"
#include "core/song/song_follower.hpp"
#include "core/song/tape_movement.hpp"

namespace four76 {

class SongJumps {
 public:
  static constexpr std::size_t kTurn = 600;  // samples at kSongRate_hz from one turn of the dial to the next

  // At kSongRate_hz; outlives this.
  explicit SongJumps(std::span<const float> reference);
  void reset() noexcept;
  // The next kTurn samples of the tape, to the middle of the last window, and where they are; none while it is not
  // followed.
  void follow(std::span<const float> tape, double to_s, const SongFollower* trail) noexcept;
  [[nodiscard]] bool are_seen() const noexcept { return hz_ > 0.0; }

 private:
  void read_reference(std::span<float> out, double to_s, const SongFollower& trail) noexcept;
  void keep_newest(std::size_t most) noexcept;
  void look() noexcept;
  void look_again() noexcept;

  std::span<const float> reference_;
  SincTable table_;
  TapeMovement movement_;
  LossCombs combs_;
  std::array<float, TapeMovement::kFrame + kTurn> tape_{}, along_{};
  std::size_t filled_ = 0;
  std::vector<TapeMovement::Frame> frames_;  // room for the newest seconds and a turn
  std::size_t count_ = 0;                    // of them
  double place_s_ = 0.0;                     // up to where the reference was read
  int turns_ = 0;                            // in a row
  int misses_ = 0;                           // looks in a row at which the comb was not there
  double sure_hz_ = 0.0;                     // of the comb that was sure at the last look
  double hz_ = 0.0;                          // of the one that is believed
};

}  // namespace four76
