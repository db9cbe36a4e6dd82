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
constexpr double kFurthestPercent = 26.0;  // further off, something beside the tone is followed
constexpr double kLeastWholeS = 0.4;
constexpr double kLeastDialShare = 0.4;  // of its window
constexpr double kLongRecordingS = 5.0;
constexpr double kLeastOfLongS = 2.0;
constexpr double kLeastLockS = 1.5;  // a note or a vowel is over by then
constexpr double kShortLockS = 3.0;
constexpr std::size_t kFewLocks = 2;
constexpr double kLeastShareAmongOthers = 0.4;
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
constexpr double kWanderingPercent = 0.10;  // what the wow leaves uncertain
constexpr double kWanderingTooFarPercent = 0.50;
constexpr double kLongEnoughForWowS = 4.0;     // some turns of a reel
constexpr double kLossesExplainPercent = 1.0;  // pieces of one tone do not lie further apart
constexpr double kNoisyShare = 0.03;
constexpr double kPumpingCosts = 0.05;        // it comes before what the processing adds or leaves standing
constexpr double kTurnsPercent = 0.01;        // what a live room's nulls may cost
constexpr double kTurnsTooFarPercent = 0.03;  // two nulls a second: the direct sound no longer leads
constexpr double kWanderCosts = 0.02;
constexpr double kMostWowPercent = 1.0;
constexpr double kClippingCosts = 0.01;  // it makes lines of its own
constexpr double kSwingCosts = 0.1;      // of a swing, what wow and averaging leave of it
constexpr double kTrifle = 0.001;        // percent: worth saying, hardly to be seen in the mean
constexpr double kBeatKurtosis = 2.0;
constexpr double kNarrowCaptureHz = 16000.0;
constexpr double kHighestShareOfRate = 0.46;  // above it the tone meets its own mirror image

// A note or a vowel holds its pitch for a moment, swells or dies meanwhile, and is one of several harmonics; a tone
// from tape keeps its level within some decibels and stands alone. What stands alone is trusted at once while its level
// holds, else after 1.5 s; what does not, after 3 s.
constexpr std::size_t kProvenKnots = 150;
constexpr std::size_t kProvenAmongOthersKnots = 300;
constexpr double kStandsAlone = 0.5;
constexpr double kMostUnprovenRange = 0.02;  // of the nominal, within the dial's window: a voice's vibrato, a whistle
constexpr double kToneLevelChangeDb = 2.5;

// Between the slowest and the fastest 40 ms.
double frequency_range_hz(std::span<const PhaseKnot> knots) noexcept {
  constexpr std::size_t kReach = 4;
  double lowest = 1e300;
  double highest = 0.0;
  for (std::size_t i = kReach; i < knots.size(); ++i) {
    const PhaseKnot& a = knots[i - kReach];
    const PhaseKnot& b = knots[i];
    if (!a.valid || !b.valid || a.segment != b.segment) continue;
    const double hz = (b.phase_cycles - a.phase_cycles) / (b.time_s - a.time_s);
    lowest = std::min(lowest, hz);
    highest = std::max(highest, hz);
  }
  return std::max(0.0, highest - lowest);
}

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

double ToneMeter::longest_lock_s() const noexcept {
  return static_cast<double>(longest_lock_knots_) * builder_.knot_s();
}

bool ToneMeter::proven(std::span<const PhaseKnot> knots) const noexcept {
  if (frequency_range_hz(knots) > kMostUnprovenRange * config_.nominal_hz) return false;
  if (power_share_ < kStandsAlone) return knots_since_lock_ >= kProvenAmongOthersKnots;
  return knots_since_lock_ >= kProvenKnots || level_change_db(knots) <= kToneLevelChangeDb;
}

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

// Reasons that the tone's surroundings give.
void ToneMeter::weigh_surroundings(const Reading& reading, const MeanSpeed& mean, double window_s,
                                   WeighedReasons& reasons) const noexcept {
  const double percent = 100.0 / config_.nominal_hz;
  if (other_standard_tone_hz(*reading.frequency_hz, config_.nominal_hz)) reasons.add(Reason::wrong_tone, kDecisive);
  const double lines = interferers_.u95_hz(window_s) * percent;
  const double hum = interferers_.swing_hz(true) * percent;
  const double other = interferers_.swing_hz(false) * percent;
  if (hum > kSwingPercent) reasons.add(Reason::mains_hum, std::max(lines, kSwingCosts * hum));
  if (other > kSwingPercent) reasons.add(Reason::competing_tone, std::max(lines, kSwingCosts * other));
  if (*reading.carrier_to_noise_dbhz < kNoisyDbhz)
    reasons.add(*reading.level_dbfs < kQuietDbfs ? Reason::too_quiet : Reason::room_noise, *reading.noise_u95_percent);
  if (live_room(mean)) reasons.add(turned_by(mean), mean.turns_u95_hz * percent);
  if (config_.sample_rate_hz <= kNarrowCaptureHz) reasons.add(Reason::narrow_capture, kTrifle);
}

// What must be reached for a reading to count; the reason why not is the weightiest of all.
void ToneMeter::judge_mean(Reading& reading, const MeanSpeed& mean, double least_trusted_s,
                           WeighedReasons& reasons) const noexcept {
  const double percent = 100.0 / config_.nominal_hz;
  const auto distrust = [&](Reason reason) {
    reading.status = Status::unreliable;
    reasons.decide(reason);
  };
  reading.status = Status::measured;
  // The dial shows the movement itself, within its u95; only the longer windows are judged by it.
  const bool is_dial = least_trusted_s < kLeastWholeS;
  const double moved = std::abs(mean.drift_hz) * percent;
  const bool drifts =
      mean.trusted_s > 2.0 && moved > kMovingPercent && moved > kMovingOverU95 * mean.drift_u95_hz * percent;
  const double wanders = mean.wow_u95_hz * percent;
  const Reason moving = mean.trusted_s < kLongEnoughForWowS ? Reason::too_short : unsteady_because(mean);
  if (is_dial) {
    if (*reading.u95_percent > kWorstDialPercent) distrust(Reason::not_steady);
  } else if (drifts && moved > kMovingTooFarPercent) {
    distrust(Reason::not_steady);
  } else if (wanders > kWanderingTooFarPercent) {
    distrust(moving);
  } else if (drifts || wanders > kWanderingPercent) {
    // What else was found says more about a reading that wow alone makes worse.
    reasons.add(drifts ? Reason::not_steady : moving, drifts ? moved : kWanderCosts * wanders);
  }
  const Reason noise = *reading.level_dbfs < kQuietDbfs ? Reason::too_quiet : Reason::room_noise;
  if (!is_dial && live_room(mean) && mean.turns_u95_hz * percent > kTurnsTooFarPercent) distrust(turned_by(mean));
  if (*reading.carrier_to_noise_dbhz < kLeastCarrierToNoiseDbhz) distrust(noise);
  if (*reading.noise_u95_percent > kWorstU95Percent) distrust(noise);
  const bool narrow = config_.refuse_narrow_capture && config_.sample_rate_hz <= kNarrowCaptureHz;
  if (narrow || *reading.frequency_hz > kHighestShareOfRate * config_.sample_rate_hz) distrust(Reason::narrow_capture);
  if (std::abs(*reading.speed_error_percent) > kFurthestPercent) distrust(Reason::competing_tone);
  if (mean.trusted_s < least_trusted_s) distrust(too_little_because());
}

// A second tone beats: the level's square runs up and down like a sine, whose kurtosis is 1.5 (derived). A room's is
// that of many echoes, 3 and more.
Reason ToneMeter::turned_by(const MeanSpeed& mean) noexcept {
  return mean.level_kurtosis < kBeatKurtosis ? Reason::competing_tone : Reason::room_noise;
}

bool ToneMeter::live_room(const MeanSpeed& mean) const noexcept {
  return mean.turns_u95_hz * 100.0 / config_.nominal_hz > kTurnsPercent && !pumped(mean);
}

// A room's fades are no pumping, though its noise may sink with them; a gate's level has two values, a room's many.
bool ToneMeter::pumped(const MeanSpeed& mean) const noexcept {
  const bool turns = mean.turns_u95_hz * 100.0 / config_.nominal_hz > kTurnsPercent;
  return level_watch_.fades() || (level_watch_.breathes() && (!turns || mean.level_kurtosis < kBeatKurtosis));
}

// Where the pieces that losses left disagree, the losses are the reason, not the machine.
Reason ToneMeter::unsteady_because(const MeanSpeed& mean) const noexcept {
  const bool too_far = mean.wow_u95_hz > kLossesExplainPercent / 100.0 * config_.nominal_hz;
  if (mean.segments_u95_hz < mean.wow_u95_hz || too_far) return Reason::not_steady;
  if (total_.gap_s > std::max(total_.dropout_s, total_.noisy_s)) return Reason::capture_gap;
  if (total_.dropout_s + total_.noisy_s == 0.0) return Reason::not_steady;
  if (pumped(mean)) return Reason::voice_processing;
  return total_.dropout_s > total_.noisy_s ? Reason::tape_dropout : Reason::room_noise;
}

// Where samples are lost faster than the track can tell, no stretch of it stands.
Reason ToneMeter::too_little_because() const noexcept {
  return tracking_ && lost_lately() ? Reason::capture_gap : Reason::too_short;
}

// What was lost, and what lost it. Each costs what its share of the pieces' scatter is, and a trifle at the least.
void ToneMeter::weigh_losses(const MeanSpeed& mean, WeighedReasons& reasons) const noexcept {
  const double tracked_s = total_.good_s + total_.gap_s + total_.dropout_s + total_.noisy_s;
  const double lost_s = std::max(1e-9, tracked_s - total_.good_s);
  const double scatter = mean.segments_u95_hz * 100.0 / config_.nominal_hz;
  // A share of the time that was lost moves the mean by that share of the wow, of 1 % at the most.
  const auto cost = [&](double seconds) {
    return kTrifle + std::min(scatter * seconds / lost_s, seconds / tracked_s * kMostWowPercent);
  };
  if (faults_.gap_count() > 0 || total_.gap_s > 0.0) reasons.add(Reason::capture_gap, cost(total_.gap_s));
  if (pumped(mean)) reasons.add(Reason::voice_processing, kPumpingCosts + cost(total_.dropout_s));
  if (total_.dropout_s > kDropoutSeconds && !pumped(mean) && !live_room(mean) &&
      interferers_.strongest() < kStrongNeighbour)
    reasons.add(Reason::tape_dropout, cost(total_.dropout_s));
  if (total_.noisy_s > kNoisyShare * tracked_s) reasons.add(Reason::room_noise, cost(total_.noisy_s));
  if (faults_.clipped_share() > 0.1) reasons.add(Reason::clipping, kClippingCosts);
}

// Within the dial's window.
bool ToneMeter::lost_lately() const noexcept {
  return time_s() - recent_loss_s_ < config_.dial_window_s + hold_back_s();
}

double ToneMeter::hold_back_s() const noexcept {
  return track_.delay_s() + (StepDetector::kSide + 2) * builder_.knot_s();
}

Reading ToneMeter::read_dial() noexcept {
  Reading reading = blank();
  if (!tracking_) {
    explain_absence(reading);
    return reading;
  }
  const auto knots = newest_knots(config_.dial_window_s + hold_back_s());
  const double noise_to_carrier = noise_.recent_noise_to_carrier().value_or(1e-4);
  const std::span<PhaseKnot> still = std::span(chosen_).first(knots.size());
  std::copy(knots.begin(), knots.end(), still.begin());
  wow_.clean(still);
  const auto plain = fit_.fit(knots, noise_to_carrier);
  const auto mean = fit_.fit(still, noise_to_carrier);
  if (!mean || !plain) {
    reading.status = Status::unreliable;
    reading.reasons.add(too_little_because());
    return reading;
  }
  fill(reading, *mean, noise_to_carrier, mean->trusted_s);
  const double percent = 100.0 / config_.nominal_hz;
  reading.plain_speed_error_percent = plain->frequency_hz * percent - 100.0;
  const double wow_and_noise_hz = dial_.u95_hz(*mean, config_.nominal_hz);
  reading.u95_percent = std::hypot(wow_and_noise_hz * percent, interferers_.u95_hz(mean->trusted_s) * percent);
  reading.wow_u95_percent =
      std::sqrt(std::max(0.0, wow_and_noise_hz * wow_and_noise_hz - mean->noise_u95_hz * mean->noise_u95_hz)) * percent;
  WeighedReasons reasons;
  weigh_surroundings(reading, *mean, mean->trusted_s, reasons);
  judge_mean(reading, *mean, kLeastDialShare * config_.dial_window_s, reasons);
  if (!proven(knots) && reading.status == Status::measured) {
    reading.status = Status::unreliable;
    reasons.decide(Reason::room_noise);
  }
  if (faults_.clipping_now()) reasons.add(Reason::clipping, kTrifle);
  if (pumped(*mean)) reasons.add(Reason::voice_processing, kTrifle);
  if (lost_lately()) reasons.add(Reason::capture_gap, kTrifle);
  reading.reasons = reasons.sorted();
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
    reading.reasons.add(too_little_because());
    return reading;
  }
  fill(reading, *mean, noise_to_carrier, mean->trusted_s);
  WeighedReasons reasons;
  weigh_surroundings(reading, *mean, mean->trusted_s, reasons);
  judge_mean(reading, *mean, kLeastWholeS, reasons);
  if (faults_.clipping_now()) reasons.add(Reason::clipping, kTrifle);
  if (pumped(*mean)) reasons.add(Reason::voice_processing, kPumpingCosts);
  reading.reasons = reasons.sorted();
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
  const auto mean = fit_.fit(consistent_record(), noise_to_carrier, MeanOf::stretch);
  if (!mean) {
    explain_absence(reading);
    return reading;
  }
  fill(reading, *mean, noise_to_carrier, mean->trusted_s);
  const bool is_long = time_s() > kLongRecordingS;
  const double tone_share = mean->trusted_s / time_s();
  const bool snatches = !level_watch_.breathes() && longest_lock_s() < kLeastLockS &&
                        (locks_ > kFewLocks || mean->trusted_s < kLeastWholeS);
  const bool among_others = best_share_ < kStandsAlone;
  const bool scattered = mean->u95_hz > kWorstU95Percent / 100.0 * config_.nominal_hz;
  const bool brief = longest_lock_s() < kShortLockS && tone_share < kLeastShareAmongOthers;
  if (is_long && (snatches || (among_others && (scattered || brief)))) {
    Reading absent = blank();  // snatches of speech or music
    explain_absence(absent);
    absent.reasons.add(Reason::room_noise);
    return absent;
  }
  WeighedReasons reasons;
  weigh_surroundings(reading, *mean, mean->trusted_s, reasons);
  weigh_losses(*mean, reasons);
  judge_mean(reading, *mean, kLeastWholeS, reasons);
  // A snatch of something steady in a long recording is no speed tape.
  const bool snatch = is_long && ((brief && locks_ > kFewLocks) ||
                                  std::min(mean->trusted_s, longest_lock_s() * 4.0 / 3.0) < kLeastOfLongS);
  if (snatch) reasons.decide(Reason::too_short);
  const double tracked_s = total_.good_s + total_.gap_s + total_.dropout_s + total_.noisy_s;
  const double least_share = among_others ? kLeastShareAmongOthers : kLeastShareOfTone;
  const bool in_shreds =
      total_.good_s < least_share * tracked_s || mean->trusted_s < least_share * (mean->last_s - mean->first_s);
  if (snatch || in_shreds) reading.status = Status::unreliable;
  if (reading.status != Status::measured && pumped(*mean) && !scattered) reasons.decide(Reason::voice_processing);
  if (in_shreds && reasons.empty()) reasons.decide(Reason::too_short);
  reading.reasons = reasons.sorted();
  return reading;
}

FlutterReading ToneMeter::read_live_flutter() const noexcept { return tracking_ ? flutter_.live() : FlutterReading{}; }

FlutterReading ToneMeter::read_whole_flutter() const noexcept { return flutter_.whole(); }

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
