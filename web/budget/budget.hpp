// Budget: the error budget of the number that the page judges by, and where its clock's and tape's terms come from.
#pragma once

#include <cstdint>
#include <optional>

#include "core/records/error_budget.hpp"
#include "web/model.hpp"

namespace four76 {

struct Budget {
  enum class Clock : std::uint8_t {
    unchecked,  // of this device, nobody has checked it
    checked,    // of this device; its correction is applied
    recorder,   // of whatever made the file
    none,       // the demo's tape is computed: nothing is sampled by a clock
    cancelled,  // a song that was recorded through the same microphone is as far off
  };
  ErrorBudget terms;
  const Reading* reading = nullptr;
  Clock clock = Clock::unchecked;
  const CheckedClock* check = nullptr;  // where clock is checked
  bool tape = true;                     // there is a real one
  bool player = false;                  // a song that something else played when it was recorded
};

// The reading with the clock's and the tape's terms in its u95, as far as they are known: what a person is shown.
[[nodiscard]] Reading in_all(const Model& model, const Reading& reading) noexcept;
// Nothing where no number is trusted, or the clock is being checked.
[[nodiscard]] std::optional<Budget> budget(const Model& model) noexcept;

}  // namespace four76
