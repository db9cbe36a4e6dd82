// StartUp: keeps a machine that is still coming up to speed out of wow and flutter.
//
// A recording often begins with the key being pressed. Half a second of a speed that rises from nothing is no wow, but
// would read as percents of it. So the points after each silence are held back for 3 s and then let go at once; those
// before the speed has settled pass as void.
// - It has settled when over the newest 1.5 s it no longer moves one way only, or by less than 0.3 %.
// - The settled range is that of those 1.5 s, widened by half of itself to either side, by 0.1 % at least.
// - Nothing is held for longer than 8 s: a speed that still moves then is to be seen.
//
// No figure comes later for it, since all need 5 s (AES6-2008). No source is known for these values; they are chosen
// here.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "core/flutter/void_bridge.hpp"

namespace four76 {

class StartUp {
 public:
  struct Config {
    double point_rate_hz = 1000.0;
  };
  static constexpr double kHoldS = 3.0, kJudgedS = 1.5, kLongestS = 8.0;

  explicit StartUp(const Config& config);
  // Holds back again; what is still held is forgotten. After a silence: let go of it first, with flush().
  void reset() noexcept;

  // The next point; what is let go, oldest first, one point for each that came. Valid until the next call.
  std::span<const DeviationPoint> add(const DeviationPoint& point) noexcept;
  // What is held, as void: the tone was lost before its speed was known. Then it holds back again.
  std::span<const DeviationPoint> flush() noexcept;

 private:
  [[nodiscard]] bool settled() const noexcept;
  [[nodiscard]] double mean_of_bin(std::size_t bin) const noexcept;
  void void_what_came_before() noexcept;
  std::span<const DeviationPoint> let_go() noexcept;

  std::size_t bin_points_, bins_, judged_bins_;
  std::size_t longest_points_;
  std::vector<DeviationPoint> held_, out_;  // held: a ring
  std::size_t first_ = 0, count_ = 0, waited_ = 0, until_judged_ = 0;
  std::vector<double> means_;  // scratch, by bin
  bool open_ = false;
};

}  // namespace four76
