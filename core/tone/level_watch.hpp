// LevelWatch: does the device play with the level?
//
// Voice processing shows in the level of a steady tone: a suppressor fades it out within seconds and keeps it down; an
// automatic gain or a gate moves the tone and the noise beside it together, while a dropout or a room's standing waves
// move the tone alone. Watched in blocks of 0.1 s:
// - fade: the level leaves its usual height slowly (0.3 s and more) by 8 dB or more and stays down for a second, or the
//   tone is lost on the way;
// - breathing: where the level varies by some decibels, the noise follows it decibel by decibel (slope of the
//   regression of the one on the other).
#pragma once

#include <array>
#include <cstddef>

namespace four76 {

class LevelWatch {
 public:
  void reset() noexcept { *this = LevelWatch(); }
  // One knot: its time, the tone's amplitude, and the in-phase variance beside it (absolute, amplitude squared).
  void add(double time_s, double amplitude, double noise_power) noexcept;
  // The tone was lost.
  void lost() noexcept;

  [[nodiscard]] bool processed() const noexcept { return fades_ > 0 || breathes(); }
  [[nodiscard]] double low_share() const noexcept;  // of the blocks, 5 dB or more under the usual level

 private:
  [[nodiscard]] bool breathes() const noexcept;
  void end_block(double time_s) noexcept;
  void watch_fade(double time_s, double below_db) noexcept;
  [[nodiscard]] double usual_db() const noexcept;

  static constexpr std::size_t kKept = 100;  // 10 s
  std::array<float, kKept> levels_db_{};
  std::size_t kept_ = 0, next_ = 0;
  double block_start_s_ = -1.0;
  double amplitude_sum_ = 0.0, noise_sum_ = 0.0;
  int knots_ = 0;

  double last_high_s_ = -1.0;  // newest block near the usual level
  double slow_fall_s_ = -1.0;  // when a slow fall reached the bottom; below 0: none under way
  int fades_ = 0;

  long blocks_ = 0, low_blocks_ = 0;
  double sum_a_ = 0.0, sum_n_ = 0.0, sum_aa_ = 0.0, sum_nn_ = 0.0, sum_an_ = 0.0;
};

}  // namespace four76
