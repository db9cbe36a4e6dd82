// SongTrail: what a SongSession's dial has said lately: the ribbon's trail, and the calm mean beside the dial.
//
// The calm reading is the mean of the dials since the song was found or the trimmer was turned, of 10 s at most. A
// dial is the slope over a second of tape, so that readings a second apart are independent; what one of them said of
// lost samples is said of the mean, too:
//
//   u95 = t95(n - 1) s / sqrt(n),   n = seconds, s = the scatter of the dials (derived)
#pragma once

#include <optional>
#include <vector>

#include "core/reading.hpp"
#include "core/tone/tone_session.hpp"

namespace four76 {

class SongTrail {
 public:
  static constexpr double kKept_s = 35.0;  // the ribbon shows 30
  static constexpr double kCalm_s = 10.0;
  static constexpr double kDial_s = 1.0;  // what a dial rests on

  void clear();
  void add(const Reading& dial);
  [[nodiscard]] const std::vector<TrailPoint>& points() const { return points_; }  // oldest first
  [[nodiscard]] Reading calm() const;

 private:
  std::vector<TrailPoint> points_;
  std::optional<double> lost_at_s_;  // the newest dial that spoke of lost samples
};

}  // namespace four76
