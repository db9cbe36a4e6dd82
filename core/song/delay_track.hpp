// DelayTrack: where in the reference the tape is, ten times a second.
//
// The reference is read at the speed the tape is thought to have, wow and all, and each window of the tape correlated
// with it; what is left moves the track, and the next pass reads the reference along the new one. The first pass knows
// the place to some hundredths of a second only and tries several speeds and peaks in each window; the path through
// them that costs least, for their height and for their jumps, is the track to begin with.
#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "core/song/phase_correlator.hpp"
#include "core/song/song_search.hpp"

namespace four76 {

struct DelayPoint {
  double tape_s = 0.0;
  double lead_s = 0.0;  // position in the reference less speed * tape_s
  double z = 0.0;       // how far beyond chance
  bool heard = false;   // tape and reference both sound there
  bool held = false;    // the strongest peak of all in reach lies on the track
  int piece = 0;        // grows by one at each edit
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
  struct Guess {
    double lead_s = 0.0;
    double z = 0.0;
    bool inverted = false;
  };
  using Guesses = std::vector<Guess>;

  void first_pass(std::span<const SongPlace> places, DelayPath& path);
  [[nodiscard]] Guesses guesses_at(double tape_s, std::span<const SongPlace> places, double speed);
  void next_pass(DelayPath& path, double reach_s, double near_s);
  void read_reference(const DelayPath& path, const DelayPoint& point) noexcept;
  void read_reference(double middle_s, double lead_s, double speed, double local_speed) noexcept;

  std::span<const float> reference_, tape_;
  SincTable table_;
  PhaseCorrelator correlator_;
  double loud_power_ = 0.0;  // of the tape's louder windows
};

}  // namespace four76
