#include "web/budget.hpp"

namespace four76 {
namespace {

Budget::Clock clock_of(const Model& model) noexcept {
  if (model.phase == Phase::demo) return Budget::Clock::none;
  if (is_file(model)) return Budget::Clock::recorder;
  return clock_in_use(model) ? Budget::Clock::checked : Budget::Clock::unchecked;
}

std::optional<double> clock_u95_ppm(const Budget& budget) noexcept {
  switch (budget.clock) {
    case Budget::Clock::unchecked:
    case Budget::Clock::recorder: return kUncheckedClock_ppm;
    case Budget::Clock::checked: return budget.check->correction.u95_ppm;
    case Budget::Clock::none: return std::nullopt;
  }
  return std::nullopt;
}

}  // namespace

std::optional<Budget> budget(const Model& model) noexcept {
  if (trust(model) != Trust::good || checks_clock(model)) return std::nullopt;
  Budget made;
  made.reading = judged_reading(model);
  if (!made.reading) return std::nullopt;
  made.clock = clock_of(model);
  made.check = clock_in_use(model);
  made.tape = model.phase != Phase::demo;
  const auto tape = made.tape ? model.settings.tape_tolerance_percent : std::nullopt;
  made.terms = error_budget(*made.reading, clock_u95_ppm(made), tape);
  return made;
}

}  // namespace four76
