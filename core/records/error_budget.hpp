// ErrorBudget: how far a speed error may be off in all, and what each of its sources adds to it.
//
// The sources do not depend on each other, so their 95 % half-widths add as the root of the sum of their squares (GUM,
// 5.1.2: sources.md#uncertainty). A limit, such as a crystal's 100 ppm, goes in as a half-width as it stands. Values
// spread evenly between such limits are held in 100 of 100 cases where one limit is the only term, in 94 or more
// beside a normal term, and in 91 where two equal limits meet (derived).
//
// Speed is f / f_stated. A clock that is off by a fraction c moves it by c f / f_stated, a stated frequency that is off
// by a fraction t by t f / f_stated (derived; GUM, 5.1.6).
#pragma once

#include <optional>

#include "core/reading.hpp"

namespace four76 {

// A clock that nobody has checked. Crystals are off by 20 to 100 ppm (sources.md#clocks).
inline constexpr double kUncheckedClock_ppm = 100.0;
inline constexpr double kPercentPerPpm = 1e-4;

// Half-widths that hold 95 of 100 cases, percent of the right speed. A term that is not known is nothing, never 0.
struct ErrorBudget {
  std::optional<double> noise_percent;      // noise and interference beside the tone
  std::optional<double> wow_percent;        // wow that the stretch does not average out
  std::optional<double> clock_percent;      // the sample clock of what recorded
  std::optional<double> tape_percent;       // the tape's own tone against what is stated of it
  std::optional<double> reference_percent;  // of a song: the clock of whatever played its reference
  std::optional<double> sum_percent;        // of the terms that are known; nothing where the reading itself has none
};

// `clock_u95_ppm`, `tape_u95_percent` and `reference_u95_ppm` are parts of a clock's rate, of a stated frequency and of
// another clock's rate; negative or not finite ones are not known.
[[nodiscard]] ErrorBudget error_budget(const Reading& reading, std::optional<double> clock_u95_ppm,
                                       std::optional<double> tape_u95_percent,
                                       std::optional<double> reference_u95_ppm = std::nullopt) noexcept;

}  // namespace four76
