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
constexpr double kWorstDialPercent = 1.0;
constexpr double kLeastWholeS = 0.4;
constexpr double kLeastDialShare = 0.4;  // of its window
constexpr double kLongRecordingS = 5.0;
constexpr double kLeastOfLongS = 1.5;
constexpr double kLeastShareOfTone = 0.25;  // of the time from its first to its last

// What is worth a reason.
constexpr double kNoisyDbhz = 42.0;  // where noise alone moves the dial by some 0.003 %
constexpr double kQuietDbfs = -60.0;
constexpr double kSilentRms = 1e-3;       // -60 dBFS
constexpr double kSwingPercent = 0.02;    // an interferer at -38 dB and 50 Hz off
constexpr double kStrongNeighbour = 0.4;  // relative amplitude from which the sum of both fades like a dropout
constexpr double kDropoutSeconds = 0.02;
constexpr double kMovingPercent = 0.10;  // over the window
constexpr double kMovingTooFarPercent = 0.40;
constexpr double kMovingOverU95 = 1.5;
constexpr double kWanderingPercent = 0.20;  // what the wow leaves uncertain
constexpr double kWanderingTooFarPercent = 0.50;
constexpr double kLongEnoughForWowS = 4.0;  // some turns of a reel
constexpr double kNarrowCaptureHz = 16000.0;
constexpr double kHighestShareOfRate = 0.46;  // above it the tone meets its own mirror image

// A note or a vowel holds its pitch for a moment and swells or dies meanwhile; a tone from tape keeps its level within
// some decibels. A lock is trusted once it has lasted 1.5 s, or where the level holds.
constexpr std::size_t kProvenKnots = 150;
constexpr double kToneLevelChangeDb = 2.5;

// Between the first and the last third of the knots.
double level_change_db(std::span<const PhaseKnot> knots) noexcept {
  const std::size_t third = knots.size() / 3;
  if (third == 0) return 0.0;
  double first = 0.0;
  double last = 0.0;
  for (std::size_t i = 0; i < third; ++i) {
    first += static_cast<double>(knots[i].amplitude);
    last += static_cast<double>(knots[knots.size() - 1 - i].amplitude);
  }
  return std::abs(db_of_amplitude(std::max(last, 1e-9) / std::max(first, 1e-9)));
}

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
void ToneMeter::add_tone_reasons(Reading& reading) const noexcept {
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
  // The dial shows the movement itself, within its u95; only the longer windows are judged by it.
  const bool is_dial = least_trusted_s < kLeastWholeS;
  const double moved = std::abs(mean.drift_hz) * percent;
  const bool drifts =
      mean.trusted_s > 2.0 && moved > kMovingPercent && moved > kMovingOverU95 * mean.drift_u95_hz * percent;
  const double wanders = mean.wow_u95_hz * percent;
  if (is_dial) {
    if (*reading.u95_percent > kWorstDialPercent) distrust(Reason::not_steady);
  } else if (wanders > kWanderingTooFarPercent || (drifts && moved > kMovingTooFarPercent))
    distrust(mean.trusted_s < kLongEnoughForWowS ? Reason::too_short : Reason::not_steady);
  else if (drifts || wanders > kWanderingPercent)
    reading.reasons.add(mean.trusted_s < kLongEnoughForWowS ? Reason::too_short : Reason::not_steady);
  const bool quiet = *reading.level_dbfs < kQuietDbfs;
  if (*reading.carrier_to_noise_dbhz < kLeastCarrierToNoiseDbhz)
    distrust(quiet ? Reason::too_quiet : Reason::room_noise);
  if (*reading.noise_u95_percent > kWorstU95Percent) distrust(quiet ? Reason::too_quiet : Reason::room_noise);
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
  reading.wow_u95_percent =
      std::sqrt(std::max(0.0, wow_and_noise_hz * wow_and_noise_hz - mean->noise_u95_hz * mean->noise_u95_hz)) * percent;
  add_tone_reasons(reading);
  judge_mean(reading, *mean, kLeastDialShare * config_.dial_window_s);
  const bool unproven = knots_since_lock_ < kProvenKnots && level_change_db(knots) > kToneLevelChangeDb;
  if (unproven && reading.status == Status::measured) {
    reading.status = Status::unreliable;
    reading.reasons.add_first(Reason::room_noise);
  }
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
  add_tone_reasons(reading);
  judge_mean(reading, *mean, kLeastWholeS);
  if (faults_.clipping_now()) reading.reasons.add(Reason::clipping);
  return reading;
}

std::span<const PhaseKnot> ToneMeter::consistent_record() noexcept {
  const auto knots = record_.knots();
  const auto end = std::copy(knots.begin(), knots.end(), chosen_.begin());
  const auto held_back = tracking_ ? steps_.held_back() : std::span<const PhaseKnot>{};
  std::copy(held_back.begin(), held_back.end(), end);
  const std::span<PhaseKnot> chosen(chosen_.data(), knots.size() + held_back.size());
  choice_.keep_one(chosen, config_.nominal_hz);
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
  add_tone_reasons(reading);
  judge_mean(reading, *mean, kLeastWholeS);
  const double tracked_s = total_.good_s + total_.gap_s + total_.dropout_s + total_.noisy_s;
  if (faults_.clipped_share() > 0.1) reading.reasons.add(Reason::clipping);
  if (faults_.gap_count() > 0 || total_.gap_s > 0.0) reading.reasons.add(Reason::capture_gap);
  if (level_watch_.processed()) reading.reasons.add(Reason::voice_processing);
  if (total_.dropout_s > kDropoutSeconds && interferers_.strongest() < kStrongNeighbour)
    reading.reasons.add(Reason::tape_dropout);
  if (total_.noisy_s > 0.1 * tracked_s) reading.reasons.add(Reason::room_noise);
  // A snatch of something steady in a long recording is no speed tape.
  if (time_s() > kLongRecordingS && mean->trusted_s < kLeastOfLongS) {
    reading.status = Status::unreliable;
    reading.reasons.add_first(Reason::too_short);
  }
  if (total_.good_s < kLeastShareOfTone * tracked_s ||
      mean->trusted_s < kLeastShareOfTone * (mean->last_s - mean->first_s))
    reading.status = Status::unreliable;
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
