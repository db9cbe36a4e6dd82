#include "core/tone/tone_meter.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "core/signal/statistics.hpp"

namespace four76 {

namespace {

constexpr std::size_t kMostChosen = PhaseRecord::kCapacity + StepDetector::kSpan;
constexpr double kSearchEveryS = 0.05;
constexpr double kVerifyEveryS = 1.0;
constexpr double kTurnShare = 0.5;           // of the usual amplitude: where a room starts to turn the phase
constexpr std::size_t kSnatchKnots = 80;     // those in which it was being lost among them
constexpr std::size_t kLostAfterKnots = 30;  // 0.3 s
constexpr double kStrayShare = 0.04;         // of the nominal: another tone, not wow
constexpr double kBeyondRange = 0.01;
constexpr int kStraysToSwitch = 2;
constexpr double kSteadyShare = 0.0015;  // of the nominal
constexpr double kSteadyS = 2.0;         // of the spectrum around the tone
constexpr double kHistoryPlayedS = 2.0;  // more than the search looks back

}  // namespace

ToneMeter::ToneMeter(const Config& config)
    : config_(config),
      faults_({config.sample_rate_hz, config.nominal_hz}),
      two_tones_({config.sample_rate_hz, config.nominal_hz, config.near_hz, kLargestBlock}),
      search_({config.sample_rate_hz, config.nominal_hz}),
      track_({config.sample_rate_hz, config.nominal_hz}),
      slips_({config.sample_rate_hz, config.nominal_hz}),
      builder_(track_.point_rate_hz()),
      noise_({track_.point_rate_hz(), track_.modulation_bandwidth_hz()}),
      zoom_(track_.point_rate_hz()),
      fit_(kMostChosen),
      choice_(kMostChosen),
      flutter_({track_.point_rate_hz(), config.nominal_hz, track_.noise_bandwidth_hz()}),
      wow_({config.nominal_hz}),
      history_(search_.span_samples()),
      newest_(search_.span_samples()),
      search_interval_(static_cast<std::uint64_t>(kSearchEveryS * config.sample_rate_hz)),
      verify_interval_(static_cast<std::uint64_t>(kVerifyEveryS * config.sample_rate_hz)),
      look_interval_(static_cast<std::uint64_t>(TwoTones::kLookEveryS * config.sample_rate_hz)),
      recent_(2 * static_cast<std::size_t>(config.calm_window_s / builder_.knot_s() + 64)),
      chosen_(kMostChosen),
      scratch_(2048) {
  assert(recent_.size() / 2 <= PhaseRecord::kCapacity && "the calm window fits the fit");
  reset();
}

void ToneMeter::reset() noexcept {
  faults_.reset();
  two_tones_.reset();
  sample_count_ = 0;
  next_look_ = look_interval_;
  forget_tone();
}

// All that was heard so far, but for the device's faults.
void ToneMeter::forget_tone() noexcept {
  slips_.reset();
  steps_.reset();
  bridge_.reset();
  fade_turns_.reset();
  judge_.reset();
  builder_.reset();
  noise_.reset();
  zoom_.reset();
  record_.reset();
  dial_.reset();
  level_watch_.reset();
  flutter_.reset();
  wow_.reset();
  interferers_ = seen_before_ = {};
  std::fill(history_.begin(), history_.end(), 0.0F);
  history_next_ = 0;
  search_from_ = sample_count_;
  next_search_ = sample_count_ + search_.span_samples();
  tracking_ = false;
  invalid_run_ = longest_lock_knots_ = locks_ = recent_end_ = 0;
  power_share_ = best_share_ = 0.0;
  stood_alone_ = true;
  strays_ = 0;
  steady_hz_ = 0.0;
  recent_loss_s_ = -1e9;
}

double ToneMeter::time_s() const noexcept { return static_cast<double>(sample_count_) / config_.sample_rate_hz; }

std::optional<double> ToneMeter::tone_hz() const noexcept {
  if (!tracking_) return std::nullopt;
  return steady_hz_ > 0.0 ? steady_hz_ : track_.frequency_hz();
}

void ToneMeter::process(std::span<float> samples) noexcept {
  assert(samples.size() <= kLargestBlock && "blocks of at most kLargestBlock samples");
  // Searches and looks happen at fixed sample counts, whatever the blocks.
  while (!samples.empty()) {
    const std::uint64_t next = std::min(next_search_, next_look_);
    const std::uint64_t room = next > sample_count_ ? next - sample_count_ : 1;
    const auto part = samples.first(static_cast<std::size_t>(std::min<std::uint64_t>(samples.size(), room)));
    faults_.process(part);
    const auto cleaned = two_tones_.clean(part);
    keep_history(cleaned);
    sample_count_ += part.size();
    if (tracking_) track(cleaned);
    if (sample_count_ >= next_look_) {
      next_look_ += look_interval_;
      if (two_tones_.look(tone_hz())) forget_tone();
    }
    if (sample_count_ >= next_search_) search();
    samples = samples.subspan(part.size());
  }
}

void ToneMeter::keep_history(std::span<const float> samples) noexcept {
  for (const float sample : samples) {
    history_[history_next_] = sample;
    if (++history_next_ == history_.size()) history_next_ = 0;
  }
}

void ToneMeter::search() noexcept {
  const auto unrolled =
      std::copy(history_.begin() + static_cast<std::ptrdiff_t>(history_next_), history_.end(), newest_.begin());
  std::copy(history_.begin(), history_.begin() + static_cast<std::ptrdiff_t>(history_next_), unrolled);
  if (tracking_) {
    next_search_ = sample_count_ + verify_interval_;
    if (verify_tone()) update_interference();
    return;
  }
  next_search_ = sample_count_ + search_interval_;
  flutter_.lose(time_s() - kHistoryPlayedS);
  if (const auto found = search_.find(newest_)) {
    power_share_ = found->power_share;
    stood_alone_ = found->alone;
    best_share_ = std::max(best_share_, power_share_);
    start_tracking(found->frequency_hz);
  }
}

void ToneMeter::start_tracking(double frequency_hz) noexcept {
  // Play what the search has heard of the tone, but nothing twice, and not what came before it.
  const std::uint64_t oldest = sample_count_ - std::min<std::uint64_t>(sample_count_, newest_.size());
  const std::uint64_t first = std::max(oldest + search_.onset(newest_, frequency_hz), search_from_);
  track_.lock(frequency_hz, first);
  slips_.lock(frequency_hz, first);
  builder_.reset();
  tracking_ = true;
  ++locks_;
  judge_.lock();
  level_watch_before_lock_ = level_watch_;
  invalid_run_ = 0;
  strays_ = 0;
  steady_hz_ = 0.0;
  next_search_ = sample_count_ + verify_interval_;
  auto rest = std::span<const float>(newest_).last(static_cast<std::size_t>(sample_count_ - first));
  while (!rest.empty() && tracking_) {
    const auto part = rest.first(std::min(rest.size(), kLargestBlock));
    track(part);
    rest = rest.subspan(part.size());
  }
}

void ToneMeter::track(std::span<const float> samples) noexcept {
  slips_.process(samples);
  const auto points = track_.process(samples);
  for (const TrackPoint& point : points) {
    if (!tracking_) return;
    flutter_.hold(point);
    if (builder_.add(point)) take_knot(builder_.knot());
  }
  zoom_.process(points, track_.frequency_hz());
}

void ToneMeter::take_knot(PhaseKnot knot) noexcept {
  const bool slipped = slipped_in(knot);
  const bool lost = slipped || lost_samples_in(knot);
  if (lost) recent_loss_s_ = knot.time_s;
  knot.valid = judge_.judge(knot, lost);
  knot.level_valid = !lost && (knot.valid || !judge_.disturbed());
  longest_lock_knots_ = std::max(longest_lock_knots_, judge_.knots_since_lock());
  const auto amplitude = static_cast<double>(knot.amplitude);
  level_watch_.add(knot.time_s, amplitude, static_cast<double>(knot.scatter) * amplitude * amplitude);
  noise_.process(builder_.in_phase(), knot.valid);
  // Where samples slip the tone is there, however often they do.
  if (!slipped) invalid_run_ = knot.valid ? 0 : invalid_run_ + 1;
  for (const PhaseKnot& ready : bridge_.add(knot, lost)) check(ready);
  if (invalid_run_ > kLostAfterKnots || (judge_.incoherent() && judge_.knots_since_lock() > kLostAfterKnots))
    lose_tone();
}

void ToneMeter::check(PhaseKnot knot) noexcept {
  knot.turn_cycles = static_cast<float>(fade_turns_.add(knot, judge_.faded(knot, kTurnShare)));
  if (const auto checked = steps_.add(knot)) store(*checked);
  if (!steps_.stepped()) return;
  judge_.add_gap(knot.span_s);
  recent_loss_s_ = std::max(recent_loss_s_, knot.time_s);
}

bool ToneMeter::slipped_in(const PhaseKnot& knot) const noexcept {
  const double reach_s = knot.span_s / 2.0 + track_.delay_s();
  return slips_.slipped_between((knot.time_s - reach_s) * config_.sample_rate_hz,
                                (knot.time_s + reach_s) * config_.sample_rate_hz);
}

bool ToneMeter::lost_samples_in(const PhaseKnot& knot) const noexcept {
  const double reach_s = knot.span_s / 2.0 + track_.delay_s();
  return faults_.lost_between((knot.time_s - reach_s) * config_.sample_rate_hz,
                              (knot.time_s + reach_s) * config_.sample_rate_hz);
}

void ToneMeter::store(const PhaseKnot& knot) noexcept {
  record_.add(knot);
  wow_.add(knot);
  const bool flutter_counts = knot.valid && !knot.broken && !judge_.faded(knot, KnotJudge::kDropoutShare);
  flutter_.judge(knot, flutter_counts, noise_.recent_noise_to_carrier());
  if (recent_end_ == recent_.size()) {
    const std::size_t half = recent_.size() / 2;
    std::move(recent_.begin() + static_cast<std::ptrdiff_t>(half), recent_.end(), recent_.begin());
    recent_end_ = recent_.size() - half;
  }
  recent_[recent_end_++] = knot;
}

void ToneMeter::lose_tone() noexcept {
  for (const PhaseKnot& knot : bridge_.end()) check(knot);
  for (const PhaseKnot& knot : steps_.held_back()) store(knot);
  steps_.reset();
  if (judge_.knots_since_lock() < kSnatchKnots) {  // a vowel or a note: it says nothing about tape and device
    judge_.forget_lock();
    level_watch_ = level_watch_before_lock_;
  }
  level_watch_.lost();
  tracking_ = false;
  search_from_ = sample_count_;
  next_search_ = sample_count_ + search_interval_;
  zoom_.reset();
  interferers_ = seen_before_ = {};
  dial_.reset();
  wow_.reset();
}

bool ToneMeter::verify_tone() noexcept {
  const auto found = search_.find(newest_);
  const bool stray = found &&
                     std::abs(found->frequency_hz - track_.frequency_hz()) > kStrayShare * config_.nominal_hz &&
                     found->amplitude > 2.0 * judge_.reference_amplitude();
  // Something stronger beside the tone may have caught the loop.
  const bool caught = std::abs(track_.frequency_hz() / config_.nominal_hz - 1.0) > kSearchRange + kBeyondRange;
  if (caught) strays_ = kStraysToSwitch;
  strays_ = stray || caught ? strays_ + 1 : 0;
  if (strays_ >= kStraysToSwitch) lose_tone();
  return tracking_;
}

void ToneMeter::update_interference() noexcept {
  const auto mean = fit_.fit(newest_knots(kSteadyS), noise_.recent_noise_to_carrier().value_or(0.0));
  const double before_hz = steady_hz_;
  if (mean) steady_hz_ = mean->frequency_hz;
  // Where the tone has just been is no second tone: begin a new picture after a turn of the screw, and take none of a
  // tone on the move.
  const double limit_hz = kSteadyShare * config_.nominal_hz;
  if (before_hz > 0.0 && std::abs(steady_hz_ - before_hz) > limit_hz) zoom_.reset();
  const bool moving = !mean || std::abs(mean->drift_hz) > 2.0 * limit_hz;
  if (!zoom_.ready() || moving) {
    interferers_ = seen_before_ = {};
    return;
  }
  const Interferers seen = find_interferers(zoom_.power(), zoom_.first_hz(), zoom_.bin_hz(), steady_hz_, scratch_);
  interferers_ = seen.confirmed_by(seen_before_);
  seen_before_ = seen;
}

std::span<const PhaseKnot> ToneMeter::newest_knots(double window_s) const noexcept {
  const double from_s = time_s() - window_s;
  std::size_t first = recent_end_;
  while (first > 0 && recent_[first - 1].time_s >= from_s) --first;
  return std::span(recent_).subspan(first, recent_end_ - first);
}

}  // namespace four76
