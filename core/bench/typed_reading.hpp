// TypedReading: what a multimeter, a counter or a watch said, as the same Reading as the instrument's own.
//
// A meter that shows steps of r holds the truth within r / 2 of what it shows, and may be off by a part p of it
// besides. Both are limits, not scatters; they go in as half-widths as they stand (as in core/records/error_budget) and
// add as they may both lie the same way: u = r / 2 + p f (derived).
//
// A timing: a programme that should take L seconds took t: e = L / t - 1. Pressing twice, each press off by up to the
// hand's uncertainty s (95 %): u = s sqrt(2) / t of the speed (derived). The length as stated may be off by half a
// second.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

#include "core/reading.hpp"
#include "core/result.hpp"

namespace four76 {

inline constexpr double kHand_s = 0.2;  // of one press, 95 %: reaction and guessing ahead (common practice)
inline constexpr double kMeterUsual_percent =
    0.1;  // a multimeter's frequency range (common practice); a counter's less
inline constexpr double kShortestTiming_s = 30.0;

enum class TypedFault : std::uint8_t { not_a_number, out_of_range, no_resolution, too_short };
[[nodiscard]] std::string_view message_of(TypedFault fault) noexcept;

struct MeterShown {
  double frequency_hz = 0.0;
  double resolution_hz = 1.0;                     // the step of the last digit
  double accuracy_percent = kMeterUsual_percent;  // as its manual states
};
[[nodiscard]] Result<Reading, TypedFault> reading_of(const MeterShown& shown, double nominal_hz) noexcept;
// The step of the last digit of a number as it was typed: "3001.2" 0.1, "3000" 1. Nothing where it is no number.
[[nodiscard]] std::optional<double> resolution_of(std::string_view typed) noexcept;

struct Timed {
  double should_take_s = 0.0;  // the length of what was played, as it is known
  double took_s = 0.0;
  double should_take_u95_s = 0.5;  // a length printed in whole seconds
  double hand_u95_s = kHand_s;
};
[[nodiscard]] Result<Reading, TypedFault> reading_of(const Timed& timed, double nominal_hz) noexcept;

}  // namespace four76
