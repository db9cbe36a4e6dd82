// DelayTrack: where in the reference the tape is, ten times a second.
//
// The reference is read at the speed the tape is thought to have, wow and all, and each window of the tape correlated
// with it; what is left moves the track, and the next pass reads the reference along the new one. The first pass knows
// the place to some hundredths of a second only and tries several speeds and peaks in each window; the path through
// them that costs least, for their height and for their jumps, is the track to begin with.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "core/song/phase_correlator.hpp"
#include "core/song/song_search.hpp"

namespace four76 {

struct DelayPoint {
  double tape_s = 0.0;
  double lead_s = 0.0;    // position in the reference less speed * tape_s
  double z = 0.0;         // how far beyond chance tape and reference agree there, over a second
  bool heard = false;     // the tape sounds there
  bool compared = false;  // and the reference as well
  bool held = false;      // the strongest peak of all in reach lies on the track
  int piece = 0;          // grows by one at each edit
};

struct DelayPath {
  double speed = 1.0;  // that lead_s refers to
  bool inverted = false;
  std::vector<DelayPoint> points;
};

class DelayTrack {
 public:
  static constexpr double kStep_s = 0.1;
  // Both at kSongRate_hz, and outlive the track.
  DelayTrack(std::span<const float> reference, std::span<const float> tape);

  // Follows the tape from the first place; the others are where it may go on after an edit.
  DelayPath follow(std::span<const SongPlace> places);

 private:
  void first_pass(std::span<const SongPlace> places, DelayPath& path);
  // One row of the picture of leads, of each polarity: what each lead scores in that window, place after place.
  void draw_row(double tape_s, std::span<const SongPlace> places, double speed, std::span<float> upright,
                std::span<float> inverted);
  void next_pass(DelayPath& path);
  void last_pass(DelayPath& path);
  // z about each point of the path, from -reach to +reach samples, point after point; notes what was heard.
  std::vector<float> curves_along(DelayPath& path, std::size_t reach);
  static void stack(const DelayPath& path, std::span<const float> curves, std::size_t at, std::span<float> out);
  void read_reference(const DelayPath& path, const DelayPoint& point) noexcept;
  void read_reference(double middle_s, double lead_s, double speed, double local_speed) noexcept;

  std::span<const float> reference_, tape_;
  SincTable table_;
  PhaseCorrelator correlator_;
  std::vector<float> curve_;
  double loud_power_ = 0.0;  // of the tape's louder windows
};

}  // namespace four76
