// SinceLast: what became of a machine since it was left: by its newest reading as left before the newest as found, and
// the as found before that.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string_view>

#include "core/bench/visit.hpp"

namespace four76 {

enum class SinceVerdict : std::uint8_t { nothing_to_compare, held, came_back, moved, cannot_be_told };
[[nodiscard]] std::string_view name_of(SinceVerdict verdict) noexcept;
struct SinceLast {
  SinceVerdict verdict = SinceVerdict::nothing_to_compare;
  double change_percent = 0.0;  // now less as left
  double u95_percent = 0.0;     // of that
  std::optional<long> days;     // between them
};
// What comes back so soon to where it was before is a belt or a slipping part, no trimmer (common practice).
inline constexpr long kSoon_days = 30;
// In the order of their time. `came_back`: within kSoon_days, surely moved, and by a third or more of the way back.
[[nodiscard]] SinceLast compare_visits(std::span<const Measurement> visits) noexcept;
// Days since 1970-01-01 of "2026-11-26..."; nothing where it is no date.
[[nodiscard]] std::optional<long> days_of(std::string_view date) noexcept;

}  // namespace four76
