// The reading half of ToneMeter: from fits and counts to a Reading with its status and reasons.
#include <algorithm>
#include <array>
#include <cmath>

#include "core/signal/statistics.hpp"
#include "core/tone/nominal_tones.hpp"
#include "core/tone/tone_meter.hpp"

namespace four76 {

namespace {

constexpr double kLongRecordingS = 5.0;
constexpr double kLeastOfLongS = 2.0;
constexpr double kLeastLockS = 1.5;  // a note or a vowel is over by then
constexpr double kShortLockS = 3.0;
constexpr std::size_t kFewLocks = 2;
constexpr std::size_t kManyLocks = 4;
constexpr double kLongestNoteS = 6.0;
constexpr double kLeastShareAmongOthers = 0.4;
constexpr double kLeastShareOfTone = 0.25;  // of the time from its first to its last
constexpr double kSilentRms = 1e-3;         // -60 dBFS

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

// Two tones in one peak of the spectrum beat; a tape's level does not change by so much so fast.
bool beats(std::span<const PhaseKnot> knots) noexcept {
  constexpr double kBeatDb = 3.0;  // a second tone 15 dB below makes 3.1 dB (derived)
  double lowest = 1e300;
  double highest = 0.0;
  for (const PhaseKnot& knot : knots) {
    lowest = std::min(lowest, static_cast<double>(knot.amplitude));
    highest = std::max(highest, static_cast<double>(knot.amplitude));
  }
  return highest > 0.0 && db_of_amplitude(highest / std::max(lowest, 1e-9)) > kBeatDb;
}

}  // namespace

double ToneMeter::longest_lock_s() const noexcept {
  return static_cast<double>(longest_lock_knots_) * builder_.knot_s();
}

bool ToneMeter::proven(std::span<const PhaseKnot> knots) const noexcept {
  if (frequency_range_hz(knots) > kMostUnprovenRange * config_.nominal_hz) return false;
  if (power_share_ < kStandsAlone) return judge_.knots_since_lock() >= kProvenAmongOthersKnots;
  if (!stood_alone_ || beats(knots)) return judge_.knots_since_lock() >= kProvenKnots;
  return judge_.knots_since_lock() >= kProvenKnots || level_change_db(knots) <= kToneLevelChangeDb;
}

Reading ToneMeter::blank() const noexcept {
  Reading reading;
  reading.time_s = time_s();
  return reading;
}

void ToneMeter::fill(Reading& reading, const MeanSpeed& mean, double noise_to_carrier) const noexcept {
  const double percent = 100.0 / config_.nominal_hz;
  const double lines_hz = interferers_.u95_hz(mean.trusted_s);
  const double noise_hz = std::hypot(mean.noise_u95_hz, lines_hz);
  reading.frequency_hz = mean.frequency_hz;
  reading.speed_error_percent = (mean.frequency_hz / config_.nominal_hz - 1.0) * 100.0;
  reading.noise_u95_percent = noise_hz * percent;
  reading.wow_u95_percent = mean.wow_u95_hz * percent;
  reading.u95_percent = std::hypot(mean.u95_hz, lines_hz) * percent;
  reading.level_dbfs = db_of_amplitude(std::max(mean.amplitude, 1e-9));
  reading.carrier_to_noise_dbhz = -db_of_power(std::max(noise_to_carrier, 1e-18));
  reading.trusted_s = mean.trusted_s;
  reading.candidates_hz = two_tones_.undecided_hz();
  reading.taken_out_hz = two_tones_.taken_out_hz();
}

void ToneMeter::name_other_tone(Reading& reading, double frequency_hz) const noexcept {
  // What is known no better lies on no tone.
  if (config_.tone_is_sure || *reading.u95_percent > ReadingJudge::kWorstU95Percent) return;
  reading.other_tone_hz = likelier_standard_tone_hz(frequency_hz, config_.nominal_hz);
  if (reading.other_tone_hz)
    reading.other_tone_error_percent = (*reading.frequency_hz / *reading.other_tone_hz - 1.0) * 100.0;
}

// Whether two tones keep each other from being followed.
bool ToneMeter::cannot_tell(Reading& reading) const noexcept {
  reading.candidates_hz = two_tones_.undecided_hz();
  if (!reading.candidates_hz) return false;
  reading.status = Status::unreliable;
  reading.reasons.add(Reason::competing_tone);
  return true;
}

Circumstances ToneMeter::circumstances() const noexcept {
  return {.sample_rate_hz = config_.sample_rate_hz,
          .nominal_hz = config_.nominal_hz,
          .refuse_narrow_capture = config_.refuse_narrow_capture,
          .dial_window_s = config_.dial_window_s,
          .lines = interferers_,
          .two_tones = two_tones_.undecided_hz().has_value(),
          .tone_taken_out = two_tones_.taken_out_hz().has_value(),
          .time = judge_.time(),
          .fades = level_watch_.fades(),
          .breathes = level_watch_.breathes(),
          .lost_samples = faults_.gap_count() > 0,
          .lost_lately = tracking_ && lost_lately(),
          .clipped_share = faults_.clipped_share()};
}

bool ToneMeter::lost_lately() const noexcept {
  return time_s() - recent_loss_s_ < config_.dial_window_s + hold_back_s();
}

double ToneMeter::hold_back_s() const noexcept {
  return track_.delay_s() + (StepDetector::kSide + 2) * builder_.knot_s();
}

Reading ToneMeter::read_dial() noexcept {
  Reading reading = blank();
  if (!tracking_) {
    if (!cannot_tell(reading)) explain_absence(reading);
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
    if (cannot_tell(reading)) return reading;
    reading.status = Status::unreliable;
    reading.reasons.add(lost_lately() ? Reason::capture_gap : Reason::too_short);
    return reading;
  }
  fill(reading, *mean, noise_to_carrier);
  // Wow may take the dial across the border for a moment: the mean of two seconds tells.
  name_other_tone(reading, steady_hz_ > 0.0 ? steady_hz_ : mean->frequency_hz);
  const double percent = 100.0 / config_.nominal_hz;
  reading.plain_speed_error_percent = plain->frequency_hz * percent - 100.0;
  const double wow_and_noise_hz = dial_.u95_hz(*mean, config_.nominal_hz);
  reading.u95_percent = std::hypot(wow_and_noise_hz * percent, interferers_.u95_hz(mean->trusted_s) * percent);
  reading.wow_u95_percent =
      std::sqrt(std::max(0.0, wow_and_noise_hz * wow_and_noise_hz - mean->noise_u95_hz * mean->noise_u95_hz)) * percent;
  const Circumstances about = circumstances();
  ReadingJudge judge(about, *mean);
  judge.weigh_surroundings(reading);
  judge.judge(reading, ReadingJudge::Window::dial);
  if (!proven(knots) && reading.status == Status::measured) {
    reading.status = Status::unreliable;
    judge.reasons.decide(Reason::room_noise);
  }
  if (faults_.clipping_now()) judge.reasons.add(Reason::clipping, ReadingJudge::kTrifle);
  if (judge.pumped()) judge.reasons.add(Reason::voice_processing, ReadingJudge::kTrifle);
  if (about.lost_lately) judge.reasons.add(Reason::capture_gap, ReadingJudge::kTrifle);
  reading.reasons = judge.reasons.sorted();
  return reading;
}

Reading ToneMeter::read_calm() noexcept {
  Reading reading = blank();
  if (!tracking_) {
    if (!cannot_tell(reading)) explain_absence(reading);
    return reading;
  }
  const double noise_to_carrier = noise_.recent_noise_to_carrier().value_or(1e-4);
  const auto mean = fit_.fit(newest_knots(config_.calm_window_s), noise_to_carrier);
  if (!mean) {
    if (cannot_tell(reading)) return reading;
    reading.status = Status::unreliable;
    reading.reasons.add(lost_lately() ? Reason::capture_gap : Reason::too_short);
    return reading;
  }
  fill(reading, *mean, noise_to_carrier);
  name_other_tone(reading, *reading.frequency_hz);
  const Circumstances about = circumstances();
  ReadingJudge judge(about, *mean);
  judge.weigh_surroundings(reading);
  judge.judge(reading, ReadingJudge::Window::longer);
  if (faults_.clipping_now()) judge.reasons.add(Reason::clipping, ReadingJudge::kTrifle);
  if (judge.pumped()) judge.reasons.add(Reason::voice_processing, ReadingJudge::kPumpingCosts);
  reading.reasons = judge.reasons.sorted();
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
    if (!cannot_tell(reading)) explain_absence(reading);
    return reading;
  }
  fill(reading, *mean, noise_to_carrier);
  name_other_tone(reading, *reading.frequency_hz);
  const bool is_long = time_s() > kLongRecordingS;
  const double tone_share = mean->trusted_s / time_s();
  const bool snatches = !level_watch_.breathes() && longest_lock_s() < kLeastLockS &&
                        (locks_ > kFewLocks || mean->trusted_s < ReadingJudge::kLeastWholeS);
  const bool among_others = best_share_ < kStandsAlone;
  const double wild_hz = std::max(mean->u95_hz, mean->wander_hz);
  const bool scattered = wild_hz > ReadingJudge::kWorstU95Percent / 100.0 * config_.nominal_hz;
  const bool brief = longest_lock_s() < kShortLockS && tone_share < kLeastShareAmongOthers;
  // A piece of music holds a steady note now and then. A tone before the music, though, is longer than a note.
  const bool notes = locks_ > kManyLocks && longest_lock_s() < kLongestNoteS && tone_share < kLeastShareAmongOthers;
  if (is_long && (snatches || notes || (among_others && (scattered || brief)))) {
    Reading absent = blank();  // snatches of speech or music
    if (cannot_tell(absent)) return absent;
    explain_absence(absent);
    absent.reasons.add(Reason::room_noise);
    return absent;
  }
  const Circumstances about = circumstances();
  ReadingJudge judge(about, *mean);
  judge.weigh_surroundings(reading);
  judge.weigh_losses();
  judge.judge(reading, ReadingJudge::Window::longer);
  // A snatch of something steady in a long recording is no speed tape.
  const bool snatch = is_long && ((brief && locks_ > kFewLocks) ||
                                  std::min(mean->trusted_s, longest_lock_s() * 4.0 / 3.0) < kLeastOfLongS);
  if (snatch) judge.reasons.decide(Reason::too_short);
  const double tracked_s = about.time.all_s();
  const double least_share = among_others ? kLeastShareAmongOthers : kLeastShareOfTone;
  const bool in_shreds =
      about.time.good_s < least_share * tracked_s || mean->trusted_s < least_share * (mean->last_s - mean->first_s);
  if (snatch || in_shreds) reading.status = Status::unreliable;
  if (reading.status != Status::measured && judge.pumped() && !scattered)
    judge.reasons.decide(Reason::voice_processing);
  if (in_shreds && judge.reasons.empty()) judge.reasons.decide(Reason::too_short);
  if (about.two_tones) judge.reasons.decide(Reason::competing_tone);
  reading.reasons = judge.reasons.sorted();
  return reading;
}

FlutterReading ToneMeter::read_live_flutter() const noexcept { return tracking_ ? flutter_.live() : FlutterReading{}; }

FlutterReading ToneMeter::read_whole_flutter() const noexcept { return flutter_.whole(); }

void ToneMeter::explain_absence(Reading& reading) const noexcept {
  reading.status = Status::no_tone;
  const double seconds = time_s();
  if (seconds < ReadingJudge::kLeastWholeS) {
    reading.reasons.add(Reason::too_short);
    return;
  }
  reading.reasons.add(Reason::no_tone);
  if (faults_.loudest_rms() < kSilentRms) reading.reasons.add(Reason::too_quiet);
}

}  // namespace four76
