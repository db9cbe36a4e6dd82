#include "core/bench/test_tape.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

#include "core/phrase.hpp"

namespace four76 {
namespace {

constexpr double kSoftEnd_s = 0.010;
constexpr double kFarthestTape_percent = 10.0;  // two tapes of one tone lie nearer: else one carries another
constexpr double kMovedTooFar_percent = 0.3;    // as archives ask of a replay machine (IASA TC-04, 5.4.5)

bool counts(const Reading& reading) noexcept {
  return reading.status == Status::measured && reading.speed_error_percent && reading.u95_percent;
}

}  // namespace

std::optional<std::string_view> TestTone::fault_in(const Config& config) noexcept {
  if (config.sample_rate_hz < 8000 || config.sample_rate_hz > 192000)
    return tr("The sample rate must lie between 8000 and 192000 Hz.");
  if (!(config.tone_hz >= 10.0 && config.tone_hz <= 0.45 * config.sample_rate_hz))
    return tr("The tone must lie between 10 Hz and 0.45 of the sample rate.");
  if (config.steps.empty() || config.steps.size() > kMostSteps)
    return tr("There must be one step of level, or up to 32.");
  double seconds = 0.0;
  for (const ToneStep& step : config.steps) {
    if (!(step.seconds >= 0.1)) return tr("A step must last a tenth of a second at least.");
    if (!(step.level_dbfs >= -120.0 && step.level_dbfs <= 0.0))
      return tr("A level must lie between \u2212120 and 0 dBFS.");
    seconds += step.seconds;
  }
  if (!(seconds <= kMostSeconds)) return tr("The tone must not last longer than two hours.");
  return std::nullopt;
}

TestTone::TestTone(const Config& config)
    : tone_mhz_(static_cast<std::uint64_t>(std::llround(config.tone_hz * 1000.0))),
      cycle_(std::uint64_t{1000} * config.sample_rate_hz),
      sample_rate_hz_(config.sample_rate_hz),
      soft_frames_(static_cast<std::uint64_t>(kSoftEnd_s * config.sample_rate_hz)) {
  assert(!fault_in(config) && "ask fault_in before");
  for (const ToneStep& step : config.steps) {
    const auto length = static_cast<std::uint64_t>(std::llround(step.seconds * config.sample_rate_hz));
    steps_.push_back({frames_, frames_ + length, std::pow(10.0, step.level_dbfs / 20.0)});
    frames_ += length;
  }
}

void TestTone::reset() noexcept {
  next_ = 0;
  step_ = 0;
}

double TestTone::duration_s() const noexcept { return static_cast<double>(frames_) / sample_rate_hz_; }

double TestTone::gain_at(std::uint64_t n) noexcept {
  while (n >= steps_[step_].to) ++step_;
  const Step& step = steps_[step_];
  const std::uint64_t to_end = std::min(n - step.from, step.to - 1 - n);
  if (to_end >= soft_frames_) return step.amplitude;
  const double share = static_cast<double>(to_end) / static_cast<double>(soft_frames_);
  return step.amplitude * (0.5 - 0.5 * std::cos(std::numbers::pi * share));
}

std::size_t TestTone::process(std::span<float> samples) noexcept {
  std::size_t made = 0;
  for (; made < samples.size() && next_ < frames_; ++made, ++next_) {
    const double cycles = static_cast<double>(next_ * tone_mhz_ % cycle_) / static_cast<double>(cycle_);
    samples[made] = static_cast<float>(gain_at(next_) * std::sin(2.0 * std::numbers::pi * cycles));
  }
  return made;
}

std::string_view message_of(CertifyFault fault) noexcept {
  switch (fault) {
    case CertifyFault::not_measured: return tr("Measure both tapes first, until the readings can be trusted.");
    case CertifyFault::too_far:
      return tr("The two tapes lie far apart: look whether they carry the tones that are stated.");
    case CertifyFault::machine_moved:
      return tr("The machine did not hold its speed between the tapes: let it warm up, then play all of them again.");
  }
  return tr("Measure again.");
}

Result<Certificate, CertifyFault> certify(const CertifyReadings& readings, double own_nominal_hz,
                                          double trusted_u95_percent) noexcept {
  const Reading &own = readings.own, &before = readings.trusted;
  if (!counts(own) || !counts(before) || (readings.trusted_again && !counts(*readings.trusted_again)))
    return CertifyFault::not_measured;
  double trusted = *before.speed_error_percent, u95 = *before.u95_percent, moved = kMachineMoves_percent;
  if (readings.trusted_again) {
    const double again = *readings.trusted_again->speed_error_percent;
    moved = std::abs(again - trusted);
    if (moved > kMovedTooFar_percent) return CertifyFault::machine_moved;
    trusted = 0.5 * (trusted + again);
    u95 = 0.5 * std::hypot(u95, *readings.trusted_again->u95_percent);
    moved *= 0.5;  // the own was played in between: no further from the mean than either end
  }
  const double ratio = (1.0 + *own.speed_error_percent / 100.0) / (1.0 + trusted / 100.0);
  if (!(std::abs(ratio - 1.0) * 100.0 <= kFarthestTape_percent)) return CertifyFault::too_far;
  const double all = std::hypot(std::hypot(*own.u95_percent, u95), std::hypot(moved, trusted_u95_percent));
  return Certificate{own_nominal_hz * ratio, all};
}

}  // namespace four76
