// WowSpectrum: the wow that all partials of music make together, its RMS from 0.3 to 3 Hz, and the rate of its
// strongest line, while the speed itself stays unknown.
//
// y is what a partial moved by within 256 ms. Windows that overlap share their loudest moment, between which a partial
// seems to stand still: differences from frame to frame read 0.3 of the wow, those over 256 ms all of it (seen on 47
// tapes). Partials that others disturb count little: psi(y) = y exp(-(y / s)^4 / 2). What this takes from the wow is
// known: for a Gaussian wow x and any disturbance e beside it, cov(psi(x + e), x) = var(x) E[psi'(x + e)] (Bussgang
// 1952, from memory); a sine that moves y by 15 cents reads within a tenth (unit test).
//
// The partials are dealt into groups by their semitone. What two groups say at two times is multiplied, and the sums of
// psi psi over those of psi' psi' are the covariance of y at that lag, gaps or not: the notes' own errors differ from
// group to group and fall out. Its cosine transform under a Hann window of 10 s, over what a wow of that rate makes of
// y, is the density of the wow:
//
//   G(f) = 2 sin(pi f 6 h) sinc(f h) W(f T),   W(x) = sinc(x) / (1 - x^2),   h = 42.7 ms, T: the partial's Hann window
//
// How well all of it is known tells the jackknife over the groups (Tukey 1958).
//
// Valid for 0.3 to 3 Hz: slower, partials do not last; at 3.9 Hz G vanishes. Music that moves all its notes alike, as a
// chorus or a singer's vibrato below 3 Hz, is taken for wow.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "core/tapes/machine_movement.hpp"
#include "core/tapes/pitch/partial_tracker.hpp"

namespace four76 {

struct SharedWow {
  double rms_percent = 0.0;           // 0.3 to 3 Hz
  std::optional<double> u95_percent;  // nothing: at least so much
  std::optional<double> rate_hz;      // of its strongest line, where one stands out
  std::optional<double> rate_u95_hz;
};

class WowSpectrum {
 public:
  WowSpectrum();
  void reset() noexcept;
  // `scale_cents`: where the semitones lie about now.
  void add(std::span<const Partial> frame, double scale_cents) noexcept;

  // Nothing before 10 s, or where the groups do not agree that there is any.
  [[nodiscard]] std::optional<SharedWow> wow() const noexcept;

 private:
  static constexpr std::size_t kReach = 6;    // frames that y goes back: 256 ms
  static constexpr std::size_t kGroups = 6;   // an octave above falls into the same one, a fifth into another
  static constexpr std::size_t kLags = 241;   // 10.2 s
  static constexpr std::size_t kRates = 217;  // 0.3 to 3 Hz
  struct Track {
    double cents = 0.0;
    std::array<double, kReach> past{};  // newest first
    std::size_t known = 0;              // of them
  };
  struct Moment {
    std::array<double, kGroups> moved{}, told{};  // sums of psi, of psi'
  };
  struct Sums {
    std::vector<double> moved, told;  // products of one group with the others, by lag
  };
  using Density = std::array<double, kRates>;
  using Densities = std::array<Density, kGroups + 1>;  // without one group each, then of all
  struct Line {
    double rate_hz, rate_u95_hz, least_cents2;
  };

  [[nodiscard]] Moment moment_of(std::span<const Partial> frame, double scale_cents) noexcept;
  void follow(std::span<const Partial> frame) noexcept;
  void sum_up(const Moment& now) noexcept;
  [[nodiscard]] Density density_without(std::size_t group) const noexcept;
  [[nodiscard]] Density gains() const noexcept;
  [[nodiscard]] static std::optional<Line> line_in(const Densities& densities, const Density& gain) noexcept;

  std::vector<Track> tracks_, before_;
  std::vector<Moment> moments_;  // a ring
  std::size_t newest_ = 0;
  std::array<Sums, kGroups> sums_;
  std::vector<double> cosines_, window_;
  double frames_ = 0.0;
  double low_ = 0.0, all_ = 0.0;  // psi' of partials under the long window, of all
};

}  // namespace four76
