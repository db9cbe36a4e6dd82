#include "core/records/error_budget.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {
namespace {

std::optional<double> part_of(std::optional<double> u95, double factor) noexcept {
  if (!u95 || !std::isfinite(*u95) || *u95 < 0.0) return std::nullopt;
  return *u95 * factor;
}

double square(std::optional<double> u95) noexcept { return u95 ? *u95 * *u95 : 0.0; }

}  // namespace

ErrorBudget error_budget(const Reading& reading, std::optional<double> clock_u95_ppm,
                         std::optional<double> tape_u95_percent, std::optional<double> reference_u95_ppm) noexcept {
  const double speed = 1.0 + reading.speed_error_percent.value_or(0.0) / 100.0;
  ErrorBudget budget;
  budget.noise_percent = part_of(reading.noise_u95_percent, 1.0);
  budget.wow_percent = part_of(reading.wow_u95_percent, 1.0);
  budget.clock_percent = part_of(clock_u95_ppm, kPercentPerPpm * speed);
  budget.tape_percent = part_of(tape_u95_percent, speed);
  budget.reference_percent = part_of(reference_u95_ppm, kPercentPerPpm * speed);
  const std::optional<double> own = part_of(reading.u95_percent, 1.0);
  if (!own) return budget;
  // The reading's own uncertainty may hold more than its two parts, never less.
  const double of_reading = std::max(square(own), square(budget.noise_percent) + square(budget.wow_percent));
  budget.sum_percent = std::sqrt(of_reading + square(budget.clock_percent) + square(budget.tape_percent) +
                                 square(budget.reference_percent));
  return budget;
}

}  // namespace four76
