// SongWindow: one window of a tape's newest sound, held against the reference where and as fast as one likes.
#pragma once

#include <array>
#include <span>

#include "core/song/phase_correlator.hpp"
#include "core/song/rate_changer.hpp"

namespace four76 {

// Where the tape may be: the reference at place_s sounds in the window's middle.
struct SongPeak {
  double place_s = 0.0;
  double z = 0.0;
  bool inverted = false;
};

class SongWindow {
 public:
  static constexpr std::size_t kMostPeaks = 2 * PhaseCorrelator::kPeaks;
  using Peaks = std::array<SongPeak, kMostPeaks>;

  // At kSongRate_hz; outlives the window.
  explicit SongWindow(std::span<const float> reference) : reference_(reference) {}

  // The window about middle_s; `sound` begins at from_s. False where it holds next to nothing.
  bool set_tape(std::span<const float> sound, double from_s, double middle_s) noexcept;
  [[nodiscard]] double middle_s() const noexcept { return middle_s_; }  // to the sample
  [[nodiscard]] double power() const noexcept { return correlator_.tape_power(); }

  // The strongest peaks within reach of a place, strongest first, at most three of each polarity.
  std::span<const SongPeak> peaks(double place_s, double speed, double reach_s) noexcept;

 private:
  std::span<const float> reference_;
  SincTable table_;
  PhaseCorrelator correlator_;
  Peaks peaks_;
  double middle_s_ = 0.0;
};

}  // namespace four76
