// SongFit: speed, wow and their uncertainty from a delay track.
//
// One straight line through the leads of all held points, one offset a piece: lead_line. Wow: song_wow.
#pragma once

#include <optional>

#include "core/song/delay_track.hpp"

namespace four76 {

struct SongFit {
  double speed_error_percent = 0.0;
  double u95_percent = 0.0;
  double start_s = 0.0;        // of the reference, where the tape begins
  double scatter_s = 0.0;      // RMS of the leads about the line, wow included, without what the fit threw out
  double rough_s = 0.0;        // median deviation of a point from the middle of its neighbours
  double held_s = 0.0;         // of tape that the track holds
  double longest_s = 0.0;      // the longest run of it, short gaps stepped over
  double held_share = 0.0;     // of what was heard
  double evidence = 0.0;       // mean of z along the track, where tape and reference sound
  double best_evidence = 0.0;  // of its best ten seconds
  int edits = 0;
  // The mean pitch of the partials, less the speed, and how well it is known: a device that loses samples shifts the
  // one and not the other. Nothing where too few windows have partials.
  std::optional<double> pitch_percent, pitch_u95_percent;
  std::optional<double> wow_rms_percent;      // 0.3 to 3.6 Hz
  std::optional<double> wow_rms_u95_percent;  // of that figure
};

// Nothing where fewer than 20 points are held.
std::optional<SongFit> fit_song(const DelayPath& path);

}  // namespace four76
