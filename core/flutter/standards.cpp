#include "core/flutter/standards.hpp"

#include <cmath>

namespace four76 {
namespace {

Judgement judge(double least, double most, double limit) noexcept {
  if (most <= limit) return Judgement::meets;
  return least > limit ? Judgement::misses : Judgement::cannot_be_told;  // NaN cannot be told
}

}  // namespace

std::string_view name_of(Standard standard) noexcept {
  switch (standard) {
    case Standard::archive_replay: return "archive_replay";
    case Standard::csn_36_8430: return "csn_36_8430";
    case Standard::hifi_minimum: return "hifi_minimum";
    case Standard::portable_usual: return "portable_usual";
  }
  return "hifi_minimum";
}

std::string_view name_of(Judgement judgement) noexcept {
  switch (judgement) {
    case Judgement::meets: return "meets";
    case Judgement::misses: return "misses";
    case Judgement::cannot_be_told: return "cannot_be_told";
  }
  return "cannot_be_told";
}

const StandardLimits& limits_of(Standard standard) noexcept {
  for (const StandardLimits& limits : kStandards)
    if (limits.standard == standard) return limits;
  return kStandards.front();
}

Judgement judge_weighted(Standard standard, const FlutterFigure& weighted) noexcept {
  const double limit = limits_of(standard).weighted_percent;
  if (weighted.below_noise || !weighted.percent) {
    const bool within = weighted.least_percent && *weighted.least_percent <= limit;
    return within ? Judgement::meets : Judgement::cannot_be_told;
  }
  // Noise that is not known can only have made it larger.
  if (!weighted.u95_percent) return judge(0.0, *weighted.percent, limit);
  return judge(*weighted.percent - *weighted.u95_percent, *weighted.percent + *weighted.u95_percent, limit);
}

Judgement judge_speed(Standard standard, double speed_error_percent, std::optional<double> u95_percent) noexcept {
  const std::optional<double> limit = limits_of(standard).speed_percent;
  if (!limit || !u95_percent) return Judgement::cannot_be_told;
  const double error = std::abs(speed_error_percent);
  return judge(error - *u95_percent, error + *u95_percent, *limit);
}

std::optional<Standard> strictest_met(const FlutterFigure& weighted) noexcept {
  for (const StandardLimits& limits : kStandards)
    if (judge_weighted(limits.standard, weighted) == Judgement::meets) return limits.standard;
  return std::nullopt;
}

}  // namespace four76
