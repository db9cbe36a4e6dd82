// LiveDial: the reading that follows the screw: a phase fit over the newest 0.36 s, twenty times a second.
//
// Reaches 90 % of a step of the trimmer within 0.3 s of it and all of it within 0.45 s (window, filters and the step
// detector's look ahead together). Its u95 holds for the machine's mean speed, not only for the instant: beside the
// noise it carries the wow, as the scatter of the dial's own readings over the last six seconds, by Student's t for as
// many as are independent: one a window, fewer where neighbouring windows move alike (their first autocorrelation r:
// (1 - r) / (1 + r) of them, common practice), and about the machine's mean instead of their own: n / (n - 1) of the
// variance (derived). Before there are three seconds of them, wow that has not been seen yet
// cannot be excluded: a portable's 0.2 % (CSN, DIN: figures of 0.15 to 0.2 % weighted) is entered, falling to nothing
// as the history grows. A turn of the screw starts the history anew.
#pragma once

#include <array>
#include <cstddef>
#include <optional>

#include "core/tone/mean_speed.hpp"

namespace four76 {

class LiveDial {
 public:
  void reset() noexcept { count_ = next_ = 0; }
  // Widens the fit's u95 by the wow that the dial has seen; keeps the reading for the next ones. `nominal_hz` scales
  // the wow that is assumed at first.
  [[nodiscard]] double u95_hz(const MeanSpeed& fit, double nominal_hz) noexcept;

 private:
  struct Scatter {
    double mean_hz = 0.0, sigma_hz = 0.0;
  };
  [[nodiscard]] double independent_readings(const Scatter& all) const noexcept;
  [[nodiscard]] double reading(std::size_t age) const noexcept {
    return frequency_hz_[(next_ + 2 * kHistory - 1 - age) % kHistory];
  }
  [[nodiscard]] Scatter scatter(std::size_t newest_left_out) const noexcept;
  void forget_before_a_step(double nominal_hz) noexcept;
  static constexpr std::size_t kHistory = 120;
  std::array<double, kHistory> frequency_hz_{};
  std::size_t count_ = 0, next_ = 0;
};

}  // namespace four76
