// The reading half of ToneMeter: from fits and counts to a Reading with its status and reasons.
#include <algorithm>
#include <array>
#include <cmath>

#include "core/signal/statistics.hpp"
#include "core/tone/nominal_tones.hpp"
#include "core/tone/tone_meter.hpp"

namespace four76 {

namespace {

// What a reading must reach to be called measured.
constexpr double kLeastCarrierToNoiseDbhz = 33.0;  // below it the loop itself starts to slip
constexpr double kWorstU95Percent = 1.0;           // a number that could be 1 % off sets no machine
constexpr double kLeastWholeS = 0.5;
constexpr double kLeastDialShare = 0.6;            // of its window
constexpr double kLeastShareOfTone = 0.2;          // of the tracked time

// What is worth a reason.
constexpr double kNoisyDbhz = 42.0;           // where noise alone moves the dial by some 0.003 %
constexpr double kQuietDbfs = -60.0;
constexpr double kSilentRms = 1e-3;           // -60 dBFS
constexpr double kSwingPercent = 0.02;        // an interferer at -38 dB and 50 Hz off
constexpr double kDropoutSeconds = 0.02;
constexpr double kMovingPercent = 0.10;       // over the window
constexpr double kMovingTooFarPercent = 0.40;
constexpr double kMovingOverU95 = 1.5;
constexpr double kNarrowCaptureHz = 16000.0;
constexpr double kHighestShareOfRate = 0.40;

// Segments of another tone: further away than any machine moves.
constexpr double kClusterShare = 0.03;
constexpr std::size_t kMostRuns = 64;

struct Run {
  std::size_t first = 0, last = 0;
  double frequency_hz = 0.0, span_s = 0.0;
};

}  // namespace

Reading ToneMeter::blank() const noexcept {
  Reading reading;
  reading.time_s = time_s();
  return reading;
}

void ToneMeter::fill(Reading& reading, const MeanSpeed& mean, double noise_to_carrier, double window_s) const noexcept {
  const double percent = 100.0 / config_.nominal_hz;
  const double lines_hz = interferers_.u95_hz(window_s);
  const double noise_hz = std::hypot(mean.noise_u95_hz, lines_hz);
  reading.frequency_hz = mean.frequency_hz;
  reading.speed_error_percent = (mean.frequency_hz / config_.nominal_hz - 1.0) * 100.0;
  reading.noise_u95_percent = noise_hz * percent;
  reading.wow_u95_percent = mean.wow_u95_hz * percent;
  reading.u95_percent = std::hypot(mean.u95_hz, lines_hz) * percent;
  reading.level_dbfs = db_of_amplitude(std::max(mean.amplitude, 1e-9));
  reading.carrier_to_noise_dbhz = -db_of_power(std::max(noise_to_carrier, 1e-18));
  reading.trusted_s = mean.trusted_s;
}

// Reasons that the tone's surroundings give, the weightiest first.
void ToneMeter::add_tone_reasons(Reading& reading, double window_s) const noexcept {
  (void)window_s;
  if (other_standard_tone_hz(*reading.frequency_hz, config_.nominal_hz)) reading.reasons.add(Reason::wrong_tone);
  const double swing = kSwingPercent / 100.0 * config_.nominal_hz;
  const double hum_hz = interferers_.swing_hz(true);
  const double other_hz = interferers_.swing_hz(false);
  if (hum_hz > swing && hum_hz >= other_hz) reading.reasons.add(Reason::mains_hum);
  if (other_hz > swing) reading.reasons.add(Reason::competing_tone);
  if (hum_hz > swing) reading.reasons.add(Reason::mains_hum);
  if (*reading.carrier_to_noise_dbhz < kNoisyDbhz)
    reading.reasons.add(*reading.level_dbfs < kQuietDbfs ? Reason::too_quiet : Reason::room_noise);
  if (config_.sample_rate_hz <= kNarrowCaptureHz) reading.reasons.add(Reason::narrow_capture);
}

void ToneMeter::judge_mean(Reading& reading, const MeanSpeed& mean, double least_trusted_s) const noexcept {
  const double percent = 100.0 / config_.nominal_hz;
  const auto distrust = [&](Reason reason) {
    reading.status = Status::unreliable;
    reading.reasons.add_first(reason);
  };
  reading.status = Status::measured;
  const double moved = std::abs(mean.drift_hz) * percent;
  const double moved_u95 = mean.drift_u95_hz * percent;
  if (mean.trusted_s > 2.0 && moved > kMovingPercent && moved > kMovingOverU95 * moved_u95) {
    if (moved > kMovingTooFarPercent) distrust(Reason::not_steady);
    else reading.reasons.add(Reason::not_steady);
  }
  const bool quiet = *reading.level_dbfs < kQuietDbfs;
  if (*reading.carrier_to_noise_dbhz < kLeastCarrierToNoiseDbhz) distrust(quiet ? Reason::too_quiet : Reason::room_noise);
  if (*reading.u95_percent > kWorstU95Percent) {
    const bool noise = *reading.noise_u95_percent > *reading.wow_u95_percent;
    distrust(noise ? (quiet ? Reason::too_quiet : Reason::room_noise) : Reason::not_steady);
  }
  const bool narrow = config_.refuse_narrow_capture && config_.sample_rate_hz <= kNarrowCaptureHz;
  if (narrow || *reading.frequency_hz > kHighestShareOfRate * config_.sample_rate_hz) distrust(Reason::narrow_capture);
  if (mean.trusted_s < least_trusted_s) distrust(Reason::too_short);
}

Reading ToneMeter::read_dial() noexcept {
  Reading reading = blank();
  if (!tracking_) {
    explain_absence(reading);
    return reading;
  }
  const double hold_back_s = track_.delay_s() + (StepDetector::kSide + 2) * builder_.knot_s();
  const auto knots = newest_knots(config_.dial_window_s + hold_back_s);
  const double noise_to_carrier = noise_.recent_noise_to_carrier().value_or(1e-4);
  const auto mean = fit_.fit(knots, noise_to_carrier);
  if (!mean) {
    reading.status = Status::unreliable;
    reading.reasons.add(Reason::too_short);
    return reading;
  }
  fill(reading, *mean, noise_to_carrier, mean->trusted_s);
  const double percent = 100.0 / config_.nominal_hz;
  const double wow_and_noise_hz = dial_.u95_hz(*mean, config_.nominal_hz);
  reading.u95_percent = std::hypot(wow_and_noise_hz * percent, interferers_.u95_hz(mean->trusted_s) * percent);
  reading.wow_u95_percent = std::sqrt(std::max(0.0, wow_and_noise_hz * wow_and_noise_hz - mean->noise_u95_hz * mean->noise_u95_hz)) * percent;
  add_tone_reasons(reading, mean->trusted_s);
  judge_mean(reading, *mean, kLeastDialShare * config_.dial_window_s);
  if (faults_.clipping_now()) reading.reasons.add(Reason::clipping);
  if (time_s() - recent_step_s_ < config_.dial_window_s + hold_back_s) reading.reasons.add(Reason::capture_gap);
  return reading;
}

Reading ToneMeter::read_calm() noexcept {
  Reading reading = blank();
  if (!tracking_) {
    explain_absence(reading);
    return reading;
  }
  const double noise_to_carrier = noise_.recent_noise_to_carrier().value_or(1e-4);
  const auto mean = fit_.fit(newest_knots(config_.calm_window_s), noise_to_carrier);
  if (!mean) {
    reading.status = Status::unreliable;
    reading.reasons.add(Reason::too_short);
    return reading;
  }
  fill(reading, *mean, noise_to_carrier, mean->trusted_s);
  add_tone_reasons(reading, mean->trusted_s);
  judge_mean(reading, *mean, kLeastWholeS);
  if (faults_.clipping_now()) reading.reasons.add(Reason::clipping);
  return reading;
}

// The record without segments that lie on another tone than the one asked for: runs of one segment are grouped by
// frequency, and the group that lasts longest stays, the nearer to the nominal among two of like length.
std::span<const PhaseKnot> ToneMeter::consistent_record() noexcept {
  const auto knots = record_.knots();
  std::copy(knots.begin(), knots.end(), chosen_.begin());
  const std::span<PhaseKnot> chosen(chosen_.data(), knots.size());
  std::array<Run, kMostRuns> runs{};
  std::size_t count = 0;
  for (std::size_t first = 0; first < chosen.size();) {
    std::size_t last = first;
    Run run{first, first, 0.0, 0.0};
    std::optional<std::size_t> valid_first;
    std::size_t valid_last = first;
    for (; last < chosen.size() && chosen[last].segment == chosen[first].segment; ++last) {
      if (!chosen[last].valid) continue;
      run.span_s += chosen[last].span_s;
      if (!valid_first) valid_first = last;
      valid_last = last;
    }
    run.last = last;
    if (valid_first && valid_last > *valid_first) {
      const auto& a = chosen[*valid_first];
      const auto& b = chosen[valid_last];
      run.frequency_hz = (b.phase_cycles - a.phase_cycles) / (b.time_s - a.time_s);
    }
    // Too short to know its frequency, or too many to keep: the shortest runs go.
    if (run.span_s < 0.1 || run.frequency_hz <= 0.0) {
      for (std::size_t i = run.first; i < run.last; ++i) chosen[i].valid = false;
    } else if (count < kMostRuns) {
      runs[count++] = run;
    } else {
      auto* shortest = std::min_element(runs.begin(), runs.end(), [](const Run& a, const Run& b) { return a.span_s < b.span_s; });
      Run dropped = run;
      if (shortest->span_s < run.span_s) std::swap(dropped, *shortest);
      for (std::size_t i = dropped.first; i < dropped.last; ++i) chosen[i].valid = false;
    }
    first = last;
  }
  double best_score = 0.0;
  double centre_hz = 0.0;
  for (std::size_t i = 0; i < count; ++i) {
    double total_s = 0.0;
    for (std::size_t j = 0; j < count; ++j)
      if (std::abs(runs[j].frequency_hz / runs[i].frequency_hz - 1.0) < kClusterShare) total_s += runs[j].span_s;
    const double off = std::abs(runs[i].frequency_hz / config_.nominal_hz - 1.0);
    const double score = total_s / (1.0 + 10.0 * off) * (1.0 + 1e-3 * runs[i].span_s / (1.0 + total_s));
    if (score > best_score) {
      best_score = score;
      centre_hz = runs[i].frequency_hz;
    }
  }
  for (std::size_t i = 0; i < count; ++i)
    if (std::abs(runs[i].frequency_hz / centre_hz - 1.0) >= kClusterShare)
      for (std::size_t k = runs[i].first; k < runs[i].last; ++k) chosen[k].valid = false;
  return chosen;
}

Reading ToneMeter::read_whole() noexcept {
  Reading reading = blank();
  const double noise_to_carrier = noise_.total_noise_to_carrier().value_or(1e-4);
  const auto mean = fit_.fit(consistent_record(), noise_to_carrier);
  if (!mean) {
    explain_absence(reading);
    return reading;
  }
  fill(reading, *mean, noise_to_carrier, mean->trusted_s);
  add_tone_reasons(reading, mean->trusted_s);
  judge_mean(reading, *mean, kLeastWholeS);
  const double tracked_s = total_.good_s + total_.gap_s + total_.dropout_s + total_.noisy_s;
  if (faults_.clipped_share() > 0.1) reading.reasons.add(Reason::clipping);
  if (faults_.gap_count() > 0 || total_.gap_s > 0.0) reading.reasons.add(Reason::capture_gap);
  if (total_.dropout_s > kDropoutSeconds) reading.reasons.add(Reason::tape_dropout);
  if (total_.noisy_s > 0.1 * tracked_s) reading.reasons.add(Reason::room_noise);
  if (total_.good_s < kLeastShareOfTone * tracked_s) reading.status = Status::unreliable;
  return reading;
}

void ToneMeter::explain_absence(Reading& reading) const noexcept {
  reading.status = Status::no_tone;
  const double seconds = time_s();
  if (seconds < kLeastWholeS) {
    reading.reasons.add(Reason::too_short);
    return;
  }
  reading.reasons.add(Reason::no_tone);
  if (faults_.loudest_rms() < kSilentRms) reading.reasons.add(Reason::too_quiet);
}

}  // namespace four76
