#include "core/records/clock_correction.hpp"

#include <cmath>

#include "core/records/error_budget.hpp"

namespace four76 {

std::optional<ClockCorrection> clock_so_far(const Reading& reading, double known_hz, double source_u95_ppm) noexcept {
  if (!reading.frequency_hz || !reading.u95_percent || !(*reading.frequency_hz > 0.0)) return std::nullopt;
  const double ratio = known_hz / *reading.frequency_hz;                    // 1 + p
  const double of_reading = *reading.u95_percent / kPercentPerPpm * ratio;  // u95_percent is of the known frequency
  return ClockCorrection{(ratio - 1.0) * 1e6, std::hypot(of_reading * ratio, source_u95_ppm * ratio)};
}

Result<ClockCorrection, ClockFault> find_clock_correction(const Reading& reading, double known_hz,
                                                          double source_u95_ppm) noexcept {
  const auto found = clock_so_far(reading, known_hz, source_u95_ppm);
  // Judged first: a tone that is far off gives reasons that lead nowhere, such as another standard tape.
  if (found && std::fabs(found->fast_ppm) - found->u95_ppm > kFarthestClock_ppm) return ClockFault::no_clock;
  if (!found || reading.status != Status::measured) return ClockFault::not_measured;
  if (reading.trusted_s < kShortestClockCheck_s) return ClockFault::too_short;
  if (!(found->u95_ppm <= kUncheckedClock_ppm)) return ClockFault::too_uncertain;
  if (std::fabs(found->fast_ppm) > kFarthestClock_ppm) return ClockFault::no_clock;
  return *found;
}

double true_sample_rate_hz(double stated_rate_hz, double fast_ppm) noexcept {
  return stated_rate_hz * (1.0 + fast_ppm * 1e-6);
}

}  // namespace four76
