#include "core/flutter/flutter_evidence.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {
namespace {

// A measurement of half a minute, less its ends.
constexpr double kSteadyOver_s = 25.0;
constexpr double kAudible_percent = 0.2;  // the smallest change of pitch that is heard (sources.md#hearing)

bool surely_above(const std::optional<FlutterFigure>& figure, double limit) noexcept {
  if (!figure || figure->below_noise || !figure->percent || !figure->u95_percent) return false;
  return std::isfinite(*figure->percent) && *figure->percent - *figure->u95_percent > limit;
}

bool is_the_machines(Reason reason) noexcept { return reason == Reason::not_steady || reason == Reason::tape_dropout; }

bool at_least(const std::optional<double>& value, double limit) noexcept {
  return value && std::isfinite(*value) && *value >= limit;
}

}  // namespace

void FlutterEvidence::add_level(const LevelReading& level) noexcept {
  level_s = level.counted_s;
  if (level.rms) level_rms_percent = level.rms->percent;
  if (!level.dropouts) return;
  dropouts_s = level.dropouts->watched_s;
  dropouts_per_minute = level.dropouts->per_minute;
  deepest_dropout_db = level.dropouts->deepest_db;
}

bool spoils_flutter(const Reading& reading) noexcept {
  if (reading.status == Status::no_tone) return true;
  if (reading.status == Status::measured || reading.reasons.empty()) return false;
  switch (*reading.reasons.begin()) {
    case Reason::no_tone:
    case Reason::too_quiet:
    case Reason::room_noise:
    case Reason::competing_tone:
    case Reason::mains_hum:
    case Reason::voice_processing:
    case Reason::narrow_capture: return true;
    case Reason::clipping:
    case Reason::capture_gap:
    case Reason::tape_dropout:
    case Reason::wrong_tone:
    case Reason::channels_differ:
    case Reason::too_short:
    case Reason::not_steady: return false;
  }
  return true;
}

bool spoils_level(const Reading& reading) noexcept {
  return reading.reasons.contains(Reason::voice_processing) || reading.reasons.contains(Reason::clipping) ||
         reading.reasons.contains(Reason::capture_gap) || reading.reasons.contains(Reason::room_noise) ||
         reading.reasons.contains(Reason::competing_tone);
}

std::string_view name_of(Thin thin) noexcept {
  switch (thin) {
    case Thin::not_measured: return "not_measured";
    case Thin::too_short: return "too_short";
    case Thin::below_noise: return "below_noise";
    case Thin::just_turned: return "just_turned";
  }
  return "not_measured";
}

bool is_trustworthy(const FlutterEvidence& evidence) noexcept {
  const Reading& reading = evidence.reading;
  if (reading.status == Status::measured) return true;
  return reading.status == Status::unreliable && !reading.reasons.empty() &&
         std::all_of(reading.reasons.begin(), reading.reasons.end(), is_the_machines);
}

std::optional<Thin> thin_for_rates(const FlutterEvidence& evidence) noexcept {
  if (!is_trustworthy(evidence)) return Thin::not_measured;
  if (evidence.since_jump_s && *evidence.since_jump_s < kJumpLasts_s) return Thin::just_turned;
  const bool long_enough = evidence.figures.counted_s >= FlutterFigures::kLeastS && evidence.span_s >= 4.0 &&
                           std::isfinite(evidence.span_s) && evidence.resolution_hz > 0.0 &&
                           std::isfinite(evidence.resolution_hz);
  if (!long_enough) return Thin::too_short;
  const auto& unweighted = evidence.figures.unweighted_rms;
  const auto& weighted = evidence.figures.weighted_two_sigma;
  if (evidence.peaks.empty() && (!unweighted || !unweighted->percent) && (!weighted || !weighted->percent))
    return Thin::below_noise;
  return std::nullopt;
}

BeyondUsual beyond_usual(const FlutterEvidence& evidence) noexcept {
  BeyondUsual beyond;
  if (evidence.since_jump_s && *evidence.since_jump_s < kJumpLasts_s) return beyond;
  beyond.weighted = surely_above(evidence.figures.weighted_two_sigma, evidence.usual_weighted_percent);
  beyond.unweighted =
      !evidence.since_jump_s && surely_above(evidence.figures.unweighted_two_sigma, kUsualUnweighted_percent);
  return beyond;
}

std::optional<SpeedMove> speed_move(const FlutterEvidence& evidence) noexcept {
  const std::optional<Drift>& drift = evidence.figures.drift;
  const double minutes = evidence.drift_s / 60.0;
  if (!drift || !is_trustworthy(evidence) || !(minutes > 0.0) || !std::isfinite(minutes)) return std::nullopt;
  const SpeedMove move{drift->percent_per_minute * minutes, std::abs(drift->u95_percent_per_minute) * minutes,
                       evidence.drift_s};
  if (!std::isfinite(move.change_percent) || !std::isfinite(move.u95_percent)) return std::nullopt;
  return move;
}

bool is_large(const SpeedMove& move, double tolerance_percent) noexcept {
  const double change = std::abs(move.change_percent);
  if (move.over_s >= 60.0)
    return change >= std::max(kAudible_percent, 0.5 * tolerance_percent) && change >= 1.5 * move.u95_percent;
  return move.over_s >= 20.0 && change >= std::max(kAudible_percent, tolerance_percent) &&
         change >= 3.0 * move.u95_percent;
}

bool is_steady(const SpeedMove& move, double tolerance_percent) noexcept {
  return move.over_s >= kSteadyOver_s && std::abs(move.change_percent) + move.u95_percent <= 0.5 * tolerance_percent;
}

bool has_level_flutter(const FlutterEvidence& evidence) noexcept {
  return is_trustworthy(evidence) && evidence.level_s >= kLeastLevel_s &&
         at_least(evidence.level_rms_percent, kUsualLevel_percent);
}

bool has_dropouts(const FlutterEvidence& evidence) noexcept {
  return is_trustworthy(evidence) && evidence.dropouts_s >= kLeastDropouts_s &&
         at_least(evidence.dropouts_per_minute, kUsualDropouts_per_minute);
}

bool has_scrape(const FlutterEvidence& evidence) noexcept {
  return is_trustworthy(evidence) && evidence.figures.counted_s >= FlutterFigures::kLeastS &&
         surely_above(evidence.figures.scrape_rms, kUsualScrape_percent);
}

double tolerance_of(const FlutterEvidence& evidence) noexcept {
  constexpr double kServiceCheck_percent = 0.5;
  const double tolerance = evidence.tolerance_percent;
  return tolerance > 0.0 && std::isfinite(tolerance) ? tolerance : kServiceCheck_percent;
}

}  // namespace four76
