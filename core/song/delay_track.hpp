// DelayTrack: where in the reference the tape is, ten times a second.
//
// The reference is read at the speed the tape is thought to have, wow and all, and each window of the tape correlated
// with it; what is left moves the track, and the next pass reads the reference along the new one. The first pass knows
// the place to some hundredths of a second only and tries several speeds and peaks in each window; the path through
// them that costs least, for their height and for their jumps, is the track to begin with.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <span>
#include <vector>

#include "core/song/delay_path.hpp"
#include "core/song/partial_ratio.hpp"
#include "core/song/phase_correlator.hpp"
#include "core/song/song_search.hpp"

namespace four76 {

class DelayTrack {
 public:
  static constexpr double kStep_s = kDelayStep_s;
  // Both at kSongRate_hz, and outlive the track. `go_on` is asked between the passes and within the first; once it says
  // no, what is returned is worth nothing.
  DelayTrack(std::span<const float> reference, std::span<const float> tape, std::function<bool()> go_on = {});

  // Follows the tape from the first place; the others are where it may go on after an edit.
  DelayPath follow(std::span<const SongPlace> places);
  // The same places once more, where the track slipped: by the pitch, too. A note is as good at every period of its
  // own, but its pitch tells the speed, and the track has to move as that says, give or take so much of what it else
  // may wander.
  DelayPath follow_by_pitch(std::span<const SongPlace> places, double wander_share);

 private:
  // What each lead scores in each window, row after row, place after place within a row, and at which local speed.
  struct Picture {
    std::size_t columns = 0;
    std::vector<float> scores;
    std::vector<std::int8_t> speeds;
  };
  void draw(std::span<const SongPlace> places, const DelayPath& path);
  void draw_row(double tape_s, std::span<const SongPlace> places, double speed, std::size_t row);
  // Through the picture; by the pitch where a share is given.
  void first_pass(std::span<const SongPlace> places, DelayPath& path, double pitch_wander_share);
  // All behind the first pass.
  void refine(DelayPath& path);
  [[nodiscard]] DelayPath path_from(const SongPlace& place) const;
  [[nodiscard]] double end_s() const noexcept {  // of the last window's middle
    return static_cast<double>(tape_.size()) / kSongRate_hz - 0.5 * PhaseCorrelator::kWindow_s;
  }
  [[nodiscard]] bool stopped() const { return go_on_ && !go_on_(); }
  void next_pass(DelayPath& path);
  void last_pass(DelayPath& path);
  // What the partials of the window just compared say of the speed there.
  void note_pitch(const DelayPath& path, DelayPoint& point) noexcept;
  // z about each point of the path, from -reach to +reach samples, point after point; notes what was heard.
  std::vector<float> curves_along(DelayPath& path, std::size_t reach, bool with_pitch = false);
  static void stack(const DelayPath& path, std::span<const float> curves, std::size_t at, std::span<float> out);
  void read_reference(const DelayPath& path, const DelayPoint& point) noexcept;
  void read_reference(double middle_s, double lead_s, double speed, double local_speed) noexcept;

  std::span<const float> reference_, tape_;
  std::function<bool()> go_on_;
  SincTable table_;
  PhaseCorrelator correlator_;
  PartialRatio partials_;
  std::vector<float> curve_;
  Picture upright_, inverted_;
  double loud_power_ = 0.0;  // of the tape's louder windows
};

}  // namespace four76
