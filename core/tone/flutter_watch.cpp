#include "core/tone/flutter_watch.hpp"

#include <algorithm>
#include <cmath>
#include <complex>

namespace four76 {

namespace {
constexpr double kSilenceS = 1.0;
constexpr double kNoiseBlockS = 0.5;
constexpr double kNoiseRemembersS = 4.0;
// Below about 10 dB carrier-to-noise in the filter ahead of the phase, clicks appear (from memory), which no share of
// the noise accounts for.
constexpr double kMostNoiseShare = 0.1;
// What is smaller is of no tape: our own arithmetic leaves 1e-6 %, a great wow's products of its own some -60 dB.
constexpr double kLeastPeakPercent = 0.0005;
constexpr double kLeastOfStrongest = 0.002;
constexpr double kLineIsSureTo_hz = 1.0;  // where a wowing tone lies beside a line
}  // namespace

FlutterWatch::FlutterWatch(const Config& config)
    : config_(config),
      held_(kHeld),
      difference_({config.point_rate_hz, config.nominal_hz}),
      start_up_({.point_rate_hz = config.point_rate_hz}),
      figures_({.point_rate_hz = config.point_rate_hz, .nominal_hz = config.nominal_hz}),
      spectrum_({.point_rate_hz = config.point_rate_hz, .nominal_hz = config.nominal_hz}),
      raw_({config.point_rate_hz / static_cast<double>(kSmooth)}),
      level_({config.point_rate_hz}) {}

void FlutterWatch::reset() noexcept {
  held_first_ = held_count_ = smooth_count_ = noise_count_ = noise_next_ = 0;
  difference_.reset();
  start_up_.reset();
  silent_points_ = 0;
  figures_.reset();
  spectrum_.reset();
  raw_.reset();
  level_.reset();
  smooth_sum_ = last_s_ = 0.0;
  smooth_void_ = false;
  first_s_.reset();
  block_ = clean_ = all_ = {};
  clean_from_s_ = 0.0;
}

void FlutterWatch::hold(const TrackPoint& point) noexcept {
  if (held_count_ == held_.size()) {  // never judged: as good as lost
    held_first_ = (held_first_ + 1) % held_.size();
    --held_count_;
  }
  held_[(held_first_ + held_count_++) % held_.size()] = point;
}

void FlutterWatch::judge(const PhaseKnot& knot, bool counts, std::optional<double> noise_to_carrier) noexcept {
  const double half_point_s = 0.5 / config_.point_rate_hz;
  const double from_s = knot.time_s - knot.span_s / 2.0 - half_point_s;
  const double to_s = knot.time_s + knot.span_s / 2.0 + half_point_s / 2.0;
  while (held_count_ > 0 && held_[held_first_].time_s < to_s) {
    const bool within = held_[held_first_].time_s > from_s;
    pass(held_[held_first_], within && counts, within && knot.level_valid);
    held_first_ = (held_first_ + 1) % held_.size();
    --held_count_;
  }
  if (counts)
    note_noise(knot, noise_to_carrier);
  else
    clean_from_s_ = knot.time_s + kNoiseRemembersS;
}

void FlutterWatch::lose(double time_s) noexcept {
  held_count_ = 0;
  if (first_s_) pass_void_until(time_s);
}

void FlutterWatch::pass(const TrackPoint& point, bool counts, bool level_counts) noexcept {
  if (!first_s_) {
    first_s_ = point.time_s;
    last_s_ = point.time_s - 1.0 / config_.point_rate_hz;
  }
  if (point.time_s < last_s_ + 0.5 / config_.point_rate_hz) return;  // this time has passed as void already
  pass_void_until(point.time_s - 0.5 / config_.point_rate_hz);
  last_s_ = point.time_s;
  give(difference_.add(point, counts), {std::abs(point.residual), level_counts});
}

void FlutterWatch::pass_void_until(double time_s) noexcept {
  const double point_s = 1.0 / config_.point_rate_hz;
  while (last_s_ + point_s < time_s) {
    last_s_ += point_s;
    give({0.0, false}, {0.0F, false});
  }
}

void FlutterWatch::give(const DeviationPoint& point, const LevelPoint& level) noexcept {
  level_.process({&level, 1});
  // A tone that comes back after a second is a machine that may have been started anew.
  silent_points_ = point.valid ? 0 : silent_points_ + 1;
  if (silent_points_ == static_cast<std::size_t>(kSilenceS * config_.point_rate_hz)) let_through(start_up_.flush());
  let_through(start_up_.add(point));
  smooth_sum_ += point.percent;
  smooth_void_ = smooth_void_ || !point.valid;
  if (++smooth_count_ < kSmooth) return;
  if (smooth_void_)
    raw_.add_void();
  else
    raw_.add(smooth_sum_ / static_cast<double>(kSmooth));
  smooth_sum_ = 0.0;
  smooth_count_ = 0;
  smooth_void_ = false;
}

void FlutterWatch::let_through(std::span<const DeviationPoint> points) noexcept {
  figures_.process(points);
  spectrum_.process(points);
}

void FlutterWatch::note_noise(const PhaseKnot& knot, std::optional<double> noise_to_carrier) noexcept {
  if (!noise_to_carrier) return;
  const double weighted = knot.span_s * *noise_to_carrier;
  all_.seconds += knot.span_s;
  all_.weighted += weighted;
  if (knot.time_s < clean_from_s_) return;
  clean_.seconds += knot.span_s;
  clean_.weighted += weighted;
  block_.seconds += knot.span_s;
  block_.weighted += weighted;
  if (block_.seconds < kNoiseBlockS) return;
  noise_[noise_next_] = block_.weighted / block_.seconds;
  noise_next_ = (noise_next_ + 1) % noise_.size();
  noise_count_ = std::min(noise_count_ + 1, noise_.size());
  block_ = {};
}

std::optional<double> FlutterWatch::recent_noise() const noexcept {
  if (noise_count_ == 0) return total_noise();
  auto sorted = noise_;
  const auto middle = sorted.begin() + static_cast<std::ptrdiff_t>(noise_count_ / 2);
  std::nth_element(sorted.begin(), middle, sorted.begin() + static_cast<std::ptrdiff_t>(noise_count_));
  return *middle;
}

std::optional<double> FlutterWatch::total_noise() const noexcept {
  const Sum& sum = clean_.seconds >= kNoiseBlockS ? clean_ : all_;
  if (!(sum.seconds > 0.0)) return std::nullopt;
  return sum.weighted / sum.seconds;
}

bool FlutterWatch::below_threshold(const std::optional<double>& noise_to_carrier) const noexcept {
  return noise_to_carrier && *noise_to_carrier * config_.noise_bandwidth_hz > kMostNoiseShare;
}

FlutterReading FlutterWatch::live() const noexcept {
  const auto noise = recent_noise();
  return below_threshold(noise) ? FlutterReading{} : figures_.live(noise);
}

FlutterReading FlutterWatch::whole() const noexcept {
  const auto noise = total_noise();
  return below_threshold(noise) ? FlutterReading{} : figures_.whole(noise);
}

LevelReading FlutterWatch::live_level() const noexcept {
  const auto noise = recent_noise();
  return below_threshold(noise) ? LevelReading{} : level_.live(noise);
}

LevelReading FlutterWatch::whole_level() const noexcept {
  const auto noise = total_noise();
  return below_threshold(noise) ? LevelReading{} : level_.whole(noise);
}

// A line of relative amplitude a, D Hz beside the tone, swings the reading by a D Hz (see interference.hpp): where that
// is at least half of the peak, the peak is the line's. The tone's own wow moves it against the line, and so the swing
// shows beside D as well, at D plus and less the wow's rate, weaker.
bool FlutterWatch::is_foreign(const FlutterPeak& peak, const FlutterSpectrumView& view,
                              const Interferers& beside) noexcept {
  const auto lines = beside.all();
  return std::any_of(lines.begin(), lines.end(), [&](const Interferer& line) {
    const double apart_hz = std::abs(line.frequency_hz - beside.tone_hz);
    const double swing_percent = 100.0 * line.relative_amplitude * apart_hz / beside.tone_hz;
    const double near_hz = std::max(view.resolution_hz, kLineIsSureTo_hz);
    const double off_hz = std::abs(apart_hz - peak.rate_hz);
    if (off_hz <= near_hz) return swing_percent >= 0.5 * peak.peak_percent;
    return swing_percent > peak.peak_percent &&
           std::any_of(view.peaks.begin(), view.peaks.end(), [&](const FlutterPeak& wow) {
             return wow.rate_hz < 0.5 * apart_hz && wow.peak_percent > peak.peak_percent &&
                    std::abs(off_hz - wow.rate_hz) <= near_hz;
           });
  });
}

std::optional<FlutterSpectrumView> FlutterWatch::analyse(const Interferers& beside) noexcept {
  const auto noise = recent_noise();
  if (below_threshold(noise)) return std::nullopt;
  auto view = spectrum_.analyse(noise);
  if (!view || view->peaks.empty()) return view;
  const double least = std::max(kLeastPeakPercent, kLeastOfStrongest * view->peaks.front().peak_percent);
  const auto end = std::find_if(view->peaks.begin(), view->peaks.end(),
                                [&](const FlutterPeak& peak) { return peak.peak_percent < least; });
  const auto count = static_cast<std::size_t>(end - view->peaks.begin());
  std::copy(view->peaks.begin(), end, peaks_.begin());
  const std::span<FlutterPeak> told(peaks_.data(), count);
  for (FlutterPeak& peak : told) peak.foreign = is_foreign(peak, *view, beside);
  view->peaks = told;
  return view;
}

std::size_t FlutterWatch::weighted_trace(std::span<TraceRange> out) const noexcept {
  const std::size_t count = figures_.weighted_trace(out);
  for (TraceRange& range : out.first(count)) range.time_s += first_s_.value_or(0.0);
  return count;
}

std::size_t FlutterWatch::raw_trace(std::span<TraceRange> out) const noexcept {
  const std::size_t count = raw_.copy(out);
  for (TraceRange& range : out.first(count)) range.time_s += first_s_.value_or(0.0);
  return count;
}

}  // namespace four76
