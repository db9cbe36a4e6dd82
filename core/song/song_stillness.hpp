// SongStillness: learns the periodic part of the wow from the points of the trail, for the still dial.
//
// A WowCanceller takes a tone's knots, one every 10 ms. A place in the reference is the phase of a tone here: as many
// cycles as that tone would have had up to there. Windows of 0.17 s pass wow up to 4 Hz; what is faster is not learned.
#pragma once

#include <cstdint>
#include <span>

#include "core/flutter/wow_canceller.hpp"
#include "core/song/song_lock.hpp"

namespace four76 {

class SongStillness {
 public:
  void reset() noexcept;
  // The newest point of the trail, and the speed at which the tape is thought to run; an older one is not taken.
  void learn(const SongPoint& point, double speed) noexcept;
  // Takes what is known of the wow out of the points' places; 44 points at most.
  void clean(std::span<SongPoint> points) const noexcept;

  static constexpr std::size_t kMostPoints = 44;

 private:
  static constexpr double kTone_hz = 3000.0;

  WowCanceller wow_{{.nominal_hz = kTone_hz}};
  SongPoint learned_;  // the newest point
  std::uint32_t segment_ = 0;
};

}  // namespace four76
