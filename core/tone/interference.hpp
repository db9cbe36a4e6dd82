// Interference: steady lines beside the tone, what they are, and how far they move the reading.
//
// An interferer of relative amplitude a at a distance of D Hz swings the reading by a D Hz (derived: angle of
// 1 + a exp(j 2 pi D t)); averaged by a phase fit over T seconds, a D times the leakage of its window is left. Wow puts
// a line on both sides of the tone, an interferer on one: that tells them apart.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>

namespace four76 {

struct Interferer {
  double frequency_hz = 0.0;
  double relative_amplitude = 0.0;
  double mains_hz = 0.0;  // 50 or 60 where it is a harmonic of the mains, else 0
};

struct Interferers {
  static constexpr std::size_t kMost = 8;
  std::array<Interferer, kMost> found{};
  std::size_t count = 0;
  double tone_hz = 0.0;
  [[nodiscard]] std::span<const Interferer> all() const noexcept { return {found.data(), count}; }
  // Half-width that the lines leave in a phase fit over that window.
  [[nodiscard]] double u95_hz(double window_s) const noexcept;
  // The largest relative amplitude; 0 without lines.
  [[nodiscard]] double strongest() const noexcept;
  // Those that were there a look earlier too: a steady line stays, the smear of a wowing tone moves.
  [[nodiscard]] Interferers confirmed_by(const Interferers& earlier) const noexcept;
  // The largest swing a D among mains harmonics, or among the others.
  [[nodiscard]] double swing_hz(bool mains) const noexcept;
};

// `power` is a calibrated spectrum around the tone (relative or absolute), strictly around `tone_hz`. `scratch` holds
// as many values as `power`.
Interferers find_interferers(std::span<const float> power, double first_hz, double bin_hz, double tone_hz,
                             std::span<float> scratch) noexcept;

// 50 or 60 where the frequency lies on a harmonic of the mains within that tolerance. The grid itself keeps its
// frequency within 0.04 % from day to day (common practice), so the tolerance grows with the harmonic.
std::optional<double> mains_of(double frequency_hz, double tolerance_hz) noexcept;

}  // namespace four76
