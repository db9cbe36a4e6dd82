// SongWindow: one window of a tape's newest sound, held against the reference where and as fast as one likes.
#pragma once

#include <array>
#include <complex>
#include <optional>
#include <span>

#include "core/song/partial_ratio.hpp"
#include "core/song/phase_correlator.hpp"
#include "core/song/rate_changer.hpp"

namespace four76 {

// Where the tape may be: the reference at place_s sounds in the window's middle.
struct SongPeak {
  double place_s = 0.0;
  double z = 0.0;
  bool inverted = false;
};

// How fast it runs in the window's middle, whatever the place.
struct SongRate {
  double tape_s = 0.0;
  double speed = 1.0;
  double sigma = 0.0;
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
  // The same of what was last looked at, within another reach: a steady note has a peak at each of its periods, and the
  // strongest three are anywhere.
  std::span<const SongPeak> peaks_within(double reach_s) noexcept;
  // How fast the tape runs there, by the partials of what was last looked at.
  std::optional<SongRate> rate() noexcept;

  // Both, of what was last looked at.
  [[nodiscard]] std::span<const std::complex<float>> tape_spectrum() const noexcept {
    return correlator_.tape_spectrum();
  }
  [[nodiscard]] std::span<const std::complex<float>> reference_spectrum() const noexcept {
    return correlator_.reference_spectrum();
  }

 private:
  std::span<const SongPeak> placed(std::span<const DelayPeak> found) noexcept;

  std::span<const float> reference_;
  SincTable table_;
  PhaseCorrelator correlator_;
  PartialRatio partials_;
  Peaks peaks_;
  double place_s_ = 0.0, speed_ = 1.0;  // of the reference, when last looked at
  double middle_s_ = 0.0;
};

}  // namespace four76
