#include "core/bench/since_last.hpp"

#include <cmath>

#include "core/records/kept_lines.hpp"

namespace four76 {
namespace {

constexpr double kShareBack = 1.0 / 3.0;

}  // namespace

std::string_view name_of(SinceVerdict verdict) noexcept {
  switch (verdict) {
    case SinceVerdict::nothing_to_compare: return "nothing_to_compare";
    case SinceVerdict::held: return "held";
    case SinceVerdict::came_back: return "came_back";
    case SinceVerdict::moved: return "moved";
    case SinceVerdict::cannot_be_told: return "cannot_be_told";
  }
  return "nothing_to_compare";
}

std::optional<long> days_of(std::string_view date) noexcept {
  if (!is_date(date.substr(0, 10))) return std::nullopt;
  const auto number = [&](std::size_t from, std::size_t size) {
    long value = 0;
    for (const char c : date.substr(from, size)) value = 10 * value + (c - '0');
    return value;
  };
  // Years from March on, so that a leap day is a year's last: 365.25 days a year less three in 400 (Gregorian).
  const long month = number(5, 2), year = number(0, 4) - (month < 3 ? 1 : 0), from_march = (month + 9) % 12;
  return 365 * year + year / 4 - year / 100 + year / 400 + (153 * from_march + 2) / 5 + number(8, 2) - 719469;
}

SinceLast compare_visits(std::span<const Measurement> visits) noexcept {
  SinceLast since;
  const Measurement *now = nullptr, *left = nullptr, *before = nullptr;
  for (std::size_t i = visits.size(); i-- > 0;) {
    const Measurement& each = visits[i];
    if (!speed_of(each)) continue;
    if (!now)
      now = each.stage == VisitStage::as_found ? &each : nullptr;
    else if (!left)
      left = each.stage == VisitStage::as_left ? &each : nullptr;
    else if (!before && each.stage == VisitStage::as_found)
      before = &each;
  }
  if (!now || !left) return since;
  const VisitSpeed is = *speed_of(*now), was = *speed_of(*left);
  since.change_percent = is.percent - was.percent;
  since.u95_percent = std::hypot(is.u95_percent, was.u95_percent);
  const auto day = days_of(now->time), day_left = days_of(left->time);
  if (day && day_left) since.days = *day - *day_left;
  const double moved = std::abs(since.change_percent);
  if (moved + since.u95_percent <= now->tolerance_percent) {
    since.verdict = SinceVerdict::held;
  } else if (moved <= since.u95_percent) {
    since.verdict = SinceVerdict::cannot_be_told;
  } else {
    const double back = before ? speed_of(*before)->percent - was.percent : 0.0;
    const bool soon = since.days && *since.days >= 0 && *since.days <= kSoon_days;
    const bool on_the_way_back = back * since.change_percent > 0.0 && moved >= kShareBack * std::abs(back);
    since.verdict = soon && on_the_way_back ? SinceVerdict::came_back : SinceVerdict::moved;
  }
  return since;
}

}  // namespace four76
