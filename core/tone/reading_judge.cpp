#include "core/tone/reading_judge.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {

namespace {

// What a reading must reach to be called measured.
constexpr double kLeastCarrierToNoiseDbhz = 33.0;  // below it the loop itself starts to slip
constexpr double kWorstDialPercent = 1.0;
constexpr double kFurthestPercent = 26.0;  // further off, something beside the tone is followed
constexpr double kLeastDialShare = 0.4;    // of its window

// What is worth a reason.
constexpr double kNoisyDbhz = 42.0;  // where noise alone moves the dial by some 0.003 %
constexpr double kQuietDbfs = -60.0;
constexpr double kSwingPercent = 0.02;    // an interferer at -38 dB and 50 Hz off
constexpr double kStrongNeighbour = 0.4;  // relative amplitude from which the sum of both fades like a dropout
constexpr double kDropoutSeconds = 0.02;
constexpr double kMovingPercent = 0.10;  // over the window
constexpr double kMovingTooFarPercent = 0.40;
constexpr double kMovingOverU95 = 1.5;
constexpr double kWanderingPercent = 0.10;  // of what the wow leaves uncertain at worst
constexpr double kWanderingTooFarPercent = 0.50;
constexpr double kLongEnoughForWowS = 4.0;     // some turns of a reel
constexpr double kLossesExplainPercent = 1.0;  // pieces of one tone do not lie further apart
constexpr double kNoisyShare = 0.03;
constexpr double kTurnsPercent = 0.01;        // what a live room's nulls may cost
constexpr double kTurnsTooFarPercent = 0.03;  // two nulls a second: the direct sound no longer leads
constexpr double kWanderCosts = 0.02;
constexpr double kMostWowPercent = 1.0;
constexpr double kClippedShare = 0.1;
constexpr double kClippingCosts = 0.01;  // it makes lines of its own
constexpr double kSwingCosts = 0.1;      // of a swing, what wow and averaging leave of it
constexpr double kBeatKurtosis = 2.0;
constexpr double kNarrowCaptureHz = 16000.0;
constexpr double kHighestShareOfRate = 0.46;  // above it the tone meets its own mirror image

Reason noise_reason(const Reading& reading) noexcept {
  return *reading.level_dbfs < kQuietDbfs ? Reason::too_quiet : Reason::room_noise;
}

}  // namespace

void ReadingJudge::distrust(Reading& reading, Reason reason) noexcept {
  reading.status = Status::unreliable;
  reasons.decide(reason);
}

void ReadingJudge::weigh_surroundings(const Reading& reading) noexcept {
  if (about_.tone_taken_out) reasons.add(Reason::competing_tone, kTrifle);
  const double lines = about_.lines.u95_hz(mean_.trusted_s) * percent_;
  const double hum = about_.lines.swing_hz(true) * percent_;
  const double other = about_.lines.swing_hz(false) * percent_;
  // Of two tones alike, one may well lie on a harmonic of the mains: it is the tape's as likely.
  if (hum > kSwingPercent && !about_.two_tones) reasons.add(Reason::mains_hum, std::max(lines, kSwingCosts * hum));
  if (other > kSwingPercent) reasons.add(Reason::competing_tone, std::max(lines, kSwingCosts * other));
  if (*reading.carrier_to_noise_dbhz < kNoisyDbhz) reasons.add(noise_reason(reading), *reading.noise_u95_percent);
  if (live_room()) reasons.add(turned_by(), mean_.turns_u95_hz * percent_);
  if (about_.sample_rate_hz <= kNarrowCaptureHz) reasons.add(Reason::narrow_capture, kTrifle);
}

// The dial shows the movement itself, within its u95; only the longer windows are judged by it.
void ReadingJudge::judge_movement(Reading& reading) noexcept {
  const double moved = std::abs(mean_.drift_hz) * percent_;
  const bool drifts =
      mean_.trusted_s > 2.0 && moved > kMovingPercent && moved > kMovingOverU95 * mean_.drift_u95_hz * percent_;
  const double wanders = mean_.wander_hz * percent_;
  const Reason moving = mean_.trusted_s < kLongEnoughForWowS ? Reason::too_short : unsteady_because();
  if (drifts && moved > kMovingTooFarPercent) {
    distrust(reading, Reason::not_steady);
  } else if (wanders > kWanderingTooFarPercent) {
    distrust(reading, moving);
  } else if (drifts || wanders > kWanderingPercent) {
    // What else was found says more about a reading that wow alone makes worse.
    reasons.add(drifts ? Reason::not_steady : moving, drifts ? moved : kWanderCosts * wanders);
  }
}

void ReadingJudge::judge(Reading& reading, Window window) noexcept {
  reading.status = Status::measured;
  const bool is_dial = window == Window::dial;
  if (!is_dial)
    judge_movement(reading);
  else if (*reading.u95_percent > kWorstDialPercent)
    distrust(reading, Reason::not_steady);
  if (!is_dial && live_room() && mean_.turns_u95_hz * percent_ > kTurnsTooFarPercent) distrust(reading, turned_by());
  if (*reading.carrier_to_noise_dbhz < kLeastCarrierToNoiseDbhz) distrust(reading, noise_reason(reading));
  if (*reading.noise_u95_percent > kWorstU95Percent) distrust(reading, noise_reason(reading));
  const bool narrow = about_.refuse_narrow_capture && about_.sample_rate_hz <= kNarrowCaptureHz;
  if (narrow || *reading.frequency_hz > kHighestShareOfRate * about_.sample_rate_hz)
    distrust(reading, Reason::narrow_capture);
  if (std::abs(*reading.speed_error_percent) > kFurthestPercent) distrust(reading, Reason::competing_tone);
  const double least_trusted_s = is_dial ? kLeastDialShare * about_.dial_window_s : kLeastWholeS;
  // Where samples are lost faster than the track can tell, no stretch of it stands.
  if (mean_.trusted_s < least_trusted_s)
    distrust(reading, about_.lost_lately ? Reason::capture_gap : Reason::too_short);
  if (reading.other_tone_hz) distrust(reading, Reason::wrong_tone);
  if (about_.two_tones) distrust(reading, Reason::competing_tone);
}

// A second tone beats: the level's square runs up and down like a sine, whose kurtosis is 1.5 (derived). A room's is
// that of many echoes, 3 and more.
Reason ReadingJudge::turned_by() const noexcept {
  return mean_.level_kurtosis < kBeatKurtosis ? Reason::competing_tone : Reason::room_noise;
}

bool ReadingJudge::turns() const noexcept { return mean_.turns_u95_hz * 100.0 / about_.nominal_hz > kTurnsPercent; }

bool ReadingJudge::live_room() const noexcept { return turns() && !pumped(); }

// A room's fades are no pumping, though its noise may sink with them; a gate's level has two values, a room's many.
bool ReadingJudge::pumped() const noexcept {
  return about_.fades || (about_.breathes && (!turns() || mean_.level_kurtosis < kBeatKurtosis));
}

// Where the pieces that losses left disagree, the losses are the reason, not the machine.
Reason ReadingJudge::unsteady_because() const noexcept {
  const TrackedTime& time = about_.time;
  const bool too_far = mean_.wander_hz > kLossesExplainPercent / 100.0 * about_.nominal_hz;
  if (mean_.segments_u95_hz < mean_.wander_hz || too_far) return Reason::not_steady;
  if (time.gap_s > std::max(time.dropout_s, time.noisy_s)) return Reason::capture_gap;
  if (time.dropout_s + time.noisy_s == 0.0) return Reason::not_steady;
  if (pumped()) return Reason::voice_processing;
  return time.dropout_s > time.noisy_s ? Reason::tape_dropout : Reason::room_noise;
}

void ReadingJudge::weigh_losses() noexcept {
  const TrackedTime& time = about_.time;
  const double tracked_s = time.all_s();
  const double lost_s = std::max(1e-9, tracked_s - time.good_s);
  const double scatter = mean_.segments_u95_hz * 100.0 / about_.nominal_hz;
  // A share of the time that was lost moves the mean by that share of the wow, of 1 % at the most.
  const auto cost = [&](double seconds) {
    return kTrifle + std::min(scatter * seconds / lost_s, seconds / tracked_s * kMostWowPercent);
  };
  if (about_.lost_samples || time.gap_s > 0.0) reasons.add(Reason::capture_gap, cost(time.gap_s));
  if (pumped()) reasons.add(Reason::voice_processing, kPumpingCosts + cost(time.dropout_s));
  if (time.dropout_s > kDropoutSeconds && !pumped() && !live_room() && about_.lines.strongest() < kStrongNeighbour)
    reasons.add(Reason::tape_dropout, cost(time.dropout_s));
  if (time.noisy_s > kNoisyShare * tracked_s) reasons.add(Reason::room_noise, cost(time.noisy_s));
  if (about_.clipped_share > kClippedShare) reasons.add(Reason::clipping, kClippingCosts);
}

}  // namespace four76
