// HumLines: the mains hum of the place where a tape was recorded.
//
// 50 or 60 Hz with harmonics. A grid keeps its frequency within 0.1 % (continental Europe: 50 mHz in normal operation,
// ENTSO-E, from memory). The replaying machine hums as well, at the grid's frequency itself, often louder.
//
//   12 kHz -> 2 kHz -> stretches of 16.4 s, one each 2.05 s
//     -> the machine's hum taken out, where it stands within 0.15 % of the grid's frequency
//     -> the tape's own time axis, from the machine's movement: there the tape's hum is sharp
//     -> each second's spectrum made even: phases stay, all magnitudes become 1
//     -> power over the floor beside, at each harmonic, for each speed -8..+8 % -> CombFollower
//
// A note is louder than a hum, but it ends and begins anew at another phase. With all magnitudes even, a second of it
// counts no more than a second of hum: what goes on through all of a stretch in one phase is a hum.
//
// Off the grid's frequency by more than 0.25 %, a comb can only be the tape's. Nearer, it may be the machine's own:
// there the comb's evidence in the tape's time stands against that in the listener's, both with nothing taken out.
#pragma once

#include <array>
#include <complex>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/signal/fft.hpp"
#include "core/tapes/lines/comb_follower.hpp"
#include "core/tapes/lines/movement_course.hpp"
#include "core/tapes/machine_movement.hpp"
#include "core/tapes/tape_evidence.hpp"

namespace four76 {

class HumLines {
 public:
  HumLines();

  // Mono at kSongRate_hz (rate_changer.hpp). A sample that is not finite counts as silence.
  void process(std::span<const float> samples) noexcept;
  // The machine's relative movement, in order. `time_s` counts from the first sample.
  void moved(const MovementPoint& point) noexcept;

  // Nothing, or the likelier of the two grids'. The +- includes the grid's 0.1 %. Allocates.
  [[nodiscard]] std::vector<Evidence> found() const;

 private:
  struct Kept {
    std::size_t grid = 0;  // 0: 50 Hz, 1: 60 Hz
    CombFollower::Comb comb;
    double on_tape = 0.0;
  };
  static constexpr std::size_t kStretch = 32768, kHop = 4096, kRoom = 65536;

  void take_stretches() noexcept;
  void take_stretch() noexcept;
  void take_machines_hum_out(double grid_hz) noexcept;
  void find_mean_movement(double middle_s) noexcept;
  void bring_to_tapes_time(double middle_s) noexcept;
  void compare_at_the_grid(double middle_s) noexcept;
  void make_all_even(std::span<const float> samples) noexcept;
  void find_power(std::span<const float> samples) noexcept;
  [[nodiscard]] std::optional<Kept> likeliest(std::size_t grid) const noexcept;
  void keep_what_is_sure() noexcept;
  // Into scores_, for so many speeds to either side of the grid's.
  void score(double grid_hz, std::size_t reach) noexcept;

  RealFft stretch_fft_, second_fft_;
  ComplexFft back_fft_;
  std::vector<float> taps_, input_, ring_, stretch_, warped_, windowed_, window_, even_, power_;
  std::vector<std::complex<float>> short_frame_;
  std::size_t input_next_ = 0, until_output_ = 0;
  std::uint64_t count_ = 0, next_stretch_ = 0;
  double mean_movement_ = 0.0, previous_mean_ = 0.0;
  MovementCourse movement_;
  CombFollower::Scores scores_;
  // Of 50 and 60 Hz: off the grid's frequency; at it, in the tape's time and in the listener's.
  std::array<CombFollower, 2> followers_, at_grid_in_tapes_time_, at_grid_in_ours_;
  std::optional<Kept> kept_;
};

}  // namespace four76
