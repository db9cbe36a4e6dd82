// ClockCorrection: how fast a device's sample clock runs, found from a tone of known frequency, and what it does to the
// sample rate.
//
// A converter that runs fast by p takes (1 + p) samples where its rate says one, so that a tone f is read as f / (1 +
// p):
//
//   p = f_known / f_read - 1,   true sample rate = stated rate (1 + p)
//
// A session that is given the true rate needs no further correction (derived). The correction's own uncertainty is that
// of the reading and that of the source together, as in core/records/error_budget.
#pragma once

#include <cstdint>
#include <optional>

#include "core/reading.hpp"
#include "core/result.hpp"

namespace four76 {

// No sample clock is further off than this: the worst pair found was 273 ppm apart (sources.md#clocks). Beyond it
// something else is wrong.
inline constexpr double kFarthestClock_ppm = 1000.0;
// The least tone that a check rests on. It takes so long to see that the source is steady; noise alone would need less:
// at 60 dB-Hz the bound for 3000 Hz over 20 s is 0.003 ppm (sources.md#the-cramer-rao-bound).
inline constexpr double kShortestClockCheck_s = 20.0;

struct ClockCorrection {
  double fast_ppm = 0.0;  // of the sample clock; negative where it runs slow
  double u95_ppm = 0.0;   // half-width that holds the truth in 95 of 100 cases

  bool operator==(const ClockCorrection&) const = default;
};

enum class ClockFault : std::uint8_t {
  not_measured,   // the reading is none that can be trusted
  too_short,      // less than kShortestClockCheck_s of tone
  no_clock,       // further off than any clock: another frequency was played than was said
  too_uncertain,  // worse than kUncheckedClock_ppm, which it would replace
};

// `reading` was taken at the stated rate, against `known_hz`; the source holds `known_hz` to `source_u95_ppm`.
[[nodiscard]] Result<ClockCorrection, ClockFault> find_clock_correction(const Reading& reading, double known_hz,
                                                                        double source_u95_ppm) noexcept;

// What a check has found so far, however little that is worth; nothing without a frequency and its uncertainty.
[[nodiscard]] std::optional<ClockCorrection> clock_so_far(const Reading& reading, double known_hz,
                                                          double source_u95_ppm) noexcept;

[[nodiscard]] double true_sample_rate_hz(double stated_rate_hz, double fast_ppm) noexcept;

}  // namespace four76
