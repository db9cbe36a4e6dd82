#include "core/bench/visit.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "core/records/error_budget.hpp"

namespace four76 {
namespace {

std::optional<double> percent_of(const std::optional<FlutterFigure>& figure) noexcept {
  return figure ? figure->percent : std::nullopt;
}

bool counts(const MeasuredChannel& channel) noexcept {
  return channel.status == Status::measured && channel.speed_error_percent && channel.u95_percent;
}

}  // namespace

std::string_view name_of(VisitStage stage) noexcept {
  switch (stage) {
    case VisitStage::as_found: return "as_found";
    case VisitStage::as_left: return "as_left";
    case VisitStage::between: return "between";
  }
  return "between";
}
std::string_view name_of(TapePlace place) noexcept {
  switch (place) {
    case TapePlace::unsaid: return "unsaid";
    case TapePlace::start: return "start";
    case TapePlace::middle: return "middle";
    case TapePlace::end: return "end";
  }
  return "unsaid";
}
std::string_view name_of(VisitSource source) noexcept {
  switch (source) {
    case VisitSource::tone: return "tone";
    case VisitSource::song: return "song";
    case VisitSource::meter: return "meter";
    case VisitSource::timing: return "timing";
    case VisitSource::tapes: return "tapes";
  }
  return "tone";
}
std::string_view name_of(VisitVerdict verdict) noexcept {
  switch (verdict) {
    case VisitVerdict::within: return "within";
    case VisitVerdict::outside: return "outside";
    case VisitVerdict::cannot_be_told: return "cannot_be_told";
    case VisitVerdict::not_measured: return "not_measured";
  }
  return "not_measured";
}

std::string_view name_of(SoundsLike like) noexcept {
  switch (like) {
    case SoundsLike::not_said: return "none";
    case SoundsLike::slow: return "slow";
    case SoundsLike::right: return "right";
    case SoundsLike::fast: return "fast";
  }
  return "none";
}

MeasuredChannel measured_channel(std::string_view channel, const Reading& whole, const FlutterReading& flutter,
                                 std::span<const FlutterPeak> peaks) {
  MeasuredChannel kept;
  kept.channel = channel;
  kept.status = whole.status;
  kept.reasons = whole.reasons;
  kept.frequency_hz = whole.frequency_hz;
  kept.speed_error_percent = whole.speed_error_percent;
  kept.u95_percent = whole.u95_percent;
  kept.level_dbfs = whole.level_dbfs;
  kept.carrier_to_noise_dbhz = whole.carrier_to_noise_dbhz;
  kept.weighted_two_sigma_percent = percent_of(flutter.weighted_two_sigma);
  kept.weighted_quasi_peak_percent = percent_of(flutter.weighted_quasi_peak);
  kept.unweighted_two_sigma_percent = percent_of(flutter.unweighted_two_sigma);
  if (flutter.drift) kept.drift_percent_per_minute = flutter.drift->percent_per_minute;
  for (const FlutterPeak& peak : peaks.first(std::min(peaks.size(), kMostComponents)))
    kept.components.push_back({peak.rate_hz, peak.peak_percent});
  return kept;
}

std::optional<VisitSpeed> speed_of(const Measurement& measurement) noexcept {
  double sum = 0.0, low = 0.0, high = 0.0, widest = 0.0;
  int count = 0;
  for (const MeasuredChannel& channel : measurement.channels) {
    if (!counts(channel)) continue;
    const double percent = *channel.speed_error_percent;
    low = count == 0 ? percent : std::min(low, percent);
    high = count == 0 ? percent : std::max(high, percent);
    widest = std::max(widest, *channel.u95_percent);
    sum += percent;
    ++count;
  }
  if (count == 0) return std::nullopt;
  Reading both;
  both.speed_error_percent = sum / count;
  both.u95_percent = std::max(widest, 0.5 * (high - low));
  const ErrorBudget budget = error_budget(both, measurement.clock_u95_ppm, measurement.tape_u95_percent);
  return VisitSpeed{sum / count, budget.sum_percent.value_or(*both.u95_percent)};
}

VisitVerdict verdict_of(const Measurement& measurement) noexcept {
  const auto speed = speed_of(measurement);
  if (!speed) return VisitVerdict::not_measured;
  const double off = std::abs(speed->percent);
  if (off + speed->u95_percent <= measurement.tolerance_percent) return VisitVerdict::within;
  return off - speed->u95_percent > measurement.tolerance_percent ? VisitVerdict::outside
                                                                  : VisitVerdict::cannot_be_told;
}

std::optional<double> channels_apart_percent(const Measurement& measurement) noexcept {
  if (measurement.channels.size() != 2 || !counts(measurement.channels[0]) || !counts(measurement.channels[1]))
    return std::nullopt;
  const MeasuredChannel &left = measurement.channels[0], &right = measurement.channels[1];
  const bool agree =
      speeds_agree(*left.speed_error_percent, *left.u95_percent, *right.speed_error_percent, *right.u95_percent);
  return agree ? 0.0 : std::abs(*left.speed_error_percent - *right.speed_error_percent);
}

std::optional<double> spread_over_tape_percent(std::span<const Measurement> measurements) noexcept {
  std::array<std::optional<double>, 4> at{};
  for (const Measurement& each : measurements)
    if (const auto speed = speed_of(each); speed && each.place != TapePlace::unsaid)
      at[static_cast<std::size_t>(each.place)] = speed->percent;
  std::optional<double> low, high;
  int places = 0;
  for (const auto& percent : at) {
    if (!percent) continue;
    low = std::min(low.value_or(*percent), *percent);
    high = std::max(high.value_or(*percent), *percent);
    ++places;
  }
  if (places < 2) return std::nullopt;
  return *high - *low;
}

std::vector<double> thinned_spectrum(std::span<const float> level_dbfs, std::size_t most) {
  assert(most > 0 && "a spectrum has a bin at least");
  std::vector<double> thin;
  if (level_dbfs.empty()) return thin;
  const std::size_t each = (level_dbfs.size() + most - 1) / most;
  for (std::size_t from = 0; from < level_dbfs.size(); from += each) {
    const auto part = level_dbfs.subspan(from, std::min(each, level_dbfs.size() - from));
    thin.push_back(static_cast<double>(*std::max_element(part.begin(), part.end())));
  }
  return thin;
}

TimedRun::TimedRun(const Config& config) noexcept : config_(config) {
  assert(config.seconds >= kVisitLeastS && config.seconds <= kVisitMostS && "a visit takes 5 s to an hour");
}

void TimedRun::reset() noexcept { *this = TimedRun(config_); }

void TimedRun::add(const Reading& dial) noexcept {
  if (!first_s_) first_s_ = dial.time_s;
  if (done()) return;
  passed_s_ = std::max(passed_s_, dial.time_s - *first_s_);
  ++readings_;
  if (dial.status != Status::measured || !dial.speed_error_percent) return;
  ++measured_;
  const auto place = static_cast<std::size_t>(passed_s_ / course_step_s());
  const std::size_t at = std::min(place, kMostCourse - 1);
  sums_[at] += *dial.speed_error_percent;
  ++counts_[at];
}

double TimedRun::measured_share() const noexcept {
  return readings_ == 0 ? 0.0 : static_cast<double>(measured_) / static_cast<double>(readings_);
}

std::vector<std::optional<double>> TimedRun::course() const {
  std::vector<std::optional<double>> course;
  const auto end = static_cast<std::size_t>(std::ceil(passed_s_ / course_step_s()));
  for (std::size_t i = 0; i < std::min(end, kMostCourse); ++i)
    course.push_back(counts_[i] > 0 ? std::optional(sums_[i] / counts_[i]) : std::nullopt);
  return course;
}

}  // namespace four76
