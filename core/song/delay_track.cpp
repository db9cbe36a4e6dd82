#include "core/song/delay_track.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "core/signal/spectrum.hpp"
#include "core/signal/statistics.hpp"
#include "core/song/best_way.hpp"
#include "core/song/delay_path.hpp"

namespace four76 {
namespace {
constexpr int kFirstReach = 720;  // samples, 60 ms: twice what the search may be off by
constexpr std::size_t kFirstColumns = 2 * kFirstReach + 1;
constexpr double kLocalSpeedStep = 0.0015;  // 0.6 % in all: wow of a worn portable
constexpr float kMostZ = 14.0F;             // more does not make a peak more likely
constexpr double kWander_s = 0.0005;        // the lead's change between two windows under 0.3 % wow (derived)
constexpr std::size_t kMostMove = 14;       // samples between two windows: 0.58 %
constexpr double kMostLean = 9.6;           // columns a row: 0.4 % of speed, more than the search is off by
constexpr double kLeanStep = 2.4;           // 0.1 %: half of it costs a straight way a fiftieth a row (derived)
constexpr double kJumpCost = 14.0;          // a window's worth: edits exist
constexpr std::size_t kStacked = 5;         // windows to either side
constexpr std::array<double, 3> kOverlap{1.0, 0.6, 0.12};  // correlation of Hann windows 0, 0.1 and 0.2 s apart
constexpr double kSilent = 1e-4;                           // of the louder windows' power: -40 dB
constexpr double kLeastZ = 3.5;                            // chance among 720 lags: one in six (derived)
constexpr std::size_t kNextReach = 120;                    // 10 ms: several periods of a low note
constexpr std::size_t kLastReach = 360;                    // 30 ms
constexpr std::size_t kOnTrack = 8;                        // 0.7 ms: what reverberation may move a peak by
constexpr std::size_t kHere = 4;                           // 0.35 ms
constexpr int kPasses = 3;
constexpr WayCosts kNextCosts{.wander_columns = 2.5, .most_columns = 8, .jump = kJumpCost};  // a tenth of a second

// The window's own peak beside the stacked one, if it has one within a third of a millisecond.
std::optional<double> own_peak_s(std::span<const float> curve, std::size_t near) {
  constexpr std::size_t kLobe = 4;
  std::size_t at = near;
  while (at + 1 < curve.size() && curve[at + 1] > curve[at]) ++at;
  while (at > 0 && curve[at - 1] > curve[at]) --at;
  if (at == 0 || at + 1 == curve.size() || curve[at] <= 0.0F || (at > near ? at - near : near - at) > kLobe)
    return std::nullopt;
  const double offset = parabolic_peak(curve[at - 1], curve[at], curve[at + 1]).offset_bins;
  return (static_cast<double>(at) - static_cast<double>(curve.size() / 2) + offset) / kSongRate_hz;
}
}  // namespace

DelayTrack::DelayTrack(std::span<const float> reference, std::span<const float> tape, std::function<bool()> go_on)
    : reference_(reference), tape_(tape), go_on_(std::move(go_on)) {
  std::vector<double> powers;
  const double end_s = static_cast<double>(tape.size()) / kSongRate_hz;
  for (double at = 0.5 * PhaseCorrelator::kWindow_s; at < end_s; at += 2.0 * PhaseCorrelator::kWindow_s) {
    correlator_.set_tape(tape_, at);
    powers.push_back(correlator_.tape_power());
  }
  if (!powers.empty()) loud_power_ = median_of(powers);
}

void DelayTrack::read_reference(double middle_s, double lead_s, double speed, double local_speed) noexcept {
  const std::span<float> out = correlator_.reference();
  const double middle = (speed * middle_s + lead_s) * kSongRate_hz;
  const auto half = static_cast<double>(out.size() / 2);
  for (std::size_t n = 0; n < out.size(); ++n)
    out[n] = table_.at(reference_, middle + (static_cast<double>(n) - half) * local_speed);
}

void DelayTrack::read_reference(const DelayPath& path, const DelayPoint& point) noexcept {
  const std::span<float> out = correlator_.reference();
  constexpr std::size_t kRun = 256;  // the lead is a straight line over so many samples: 21 ms
  const double first_s = std::round(point.tape_s * kSongRate_hz) / kSongRate_hz - 0.5 * PhaseCorrelator::kWindow_s;
  for (std::size_t n = 0; n < out.size(); n += kRun) {
    const double from_s = first_s + static_cast<double>(n) / kSongRate_hz;
    const double to_s = from_s + static_cast<double>(kRun) / kSongRate_hz;
    const double from = (path.speed * from_s + lead_at(path, from_s, point.piece)) * kSongRate_hz;
    const double to = (path.speed * to_s + lead_at(path, to_s, point.piece)) * kSongRate_hz;
    const double step = (to - from) / static_cast<double>(kRun);
    for (std::size_t i = 0; i < kRun; ++i) out[n + i] = table_.at(reference_, from + static_cast<double>(i) * step);
  }
}

void DelayTrack::draw_row(double tape_s, std::span<const SongPlace> places, double speed, std::size_t row) {
  if (!correlator_.set_tape(tape_, tape_s) || correlator_.tape_power() < kSilent * loud_power_) return;
  const double middle_s = std::round(tape_s * kSongRate_hz) / kSongRate_hz;
  for (std::size_t lane = 0; lane < places.size(); ++lane) {
    const SongPlace& place = places[lane];
    const std::size_t first = (row * places.size() + lane) * kFirstColumns;
    for (Picture* picture : {&upright_, &inverted_})
      std::fill_n(picture->scores.begin() + static_cast<std::ptrdiff_t>(first), kFirstColumns, -kMostZ);
    for (int step = -kMostSpeed; step <= kMostSpeed; ++step) {
      const double local = place.speed * (1.0 + step * kLocalSpeedStep);
      read_reference(middle_s, place.start_s + (place.speed - speed) * middle_s, speed, local);
      correlator_.curve(curve_);
      const auto mark = [&](Picture& picture, std::size_t at, float z) {
        if (z <= picture.scores[at]) return;
        picture.scores[at] = z;
        picture.speeds[at] = static_cast<std::int8_t>(step);
      };
      for (std::size_t column = 0; column < kFirstColumns; ++column) {
        const double lag = (static_cast<double>(column) - kFirstReach) / local;
        const float z = curve_[static_cast<std::size_t>(std::lround(lag + static_cast<double>(curve_.size() / 2)))];
        mark(upright_, first + column, z);
        mark(inverted_, first + column, -z);
      }
    }
    // Only now: before, the last speed that comes to the most would stand for the best one.
    for (Picture* picture : {&upright_, &inverted_})
      for (float& z : std::span(picture->scores).subspan(first, kFirstColumns)) z = std::min(z, kMostZ);
  }
}

void DelayTrack::draw(std::span<const SongPlace> places, const DelayPath& path) {
  for (Picture* picture : {&upright_, &inverted_}) {
    picture->columns = places.size() * kFirstColumns;
    picture->scores.assign(path.points.size() * picture->columns, 0.0F);
    picture->speeds.assign(picture->scores.size(), 0);
  }
  curve_.assign(2 * (kFirstReach + kFirstReach / 4) + 1, 0.0F);
  constexpr std::size_t kRows = 25;  // before it is asked whether to go on
  for (std::size_t row = 0; row < path.points.size(); ++row) {
    if (row % kRows == 0 && stopped()) return;
    draw_row(path.points[row].tape_s, places, path.speed, row);
  }
}

void DelayTrack::first_pass(std::span<const SongPlace> places, DelayPath& path, double pitch_wander_share) {
  const std::size_t columns = upright_.columns;
  const bool by_pitch = pitch_wander_share > 0.0;
  WayCosts costs{.wander_columns = kWander_s * kSongRate_hz, .most_columns = kMostMove, .jump = kJumpCost};
  if (by_pitch) {
    costs.wander_columns *= pitch_wander_share;
    costs.speed_columns = kLocalSpeedStep * 2.0 * kStep_s * kSongRate_hz;
  }
  // The pitch is the place's own speed and what is seen of it: there is no lean left.
  const auto leaning = [&](const Picture& picture) {
    if (by_pitch) costs.speeds = picture.speeds;
    return best_lean(picture.scores, columns, places.size(), costs, by_pitch ? kLeanStep : kMostLean, kLeanStep);
  };
  const Lean lean = leaning(upright_);
  const Lean other = leaning(inverted_);
  path.inverted = other.score > lean.score;
  const Picture& picture = path.inverted ? inverted_ : upright_;
  costs.lean_columns = path.inverted ? other.columns : lean.columns;
  if (by_pitch) costs.speeds = picture.speeds;
  const Way way = best_way(picture.scores, columns, places.size(), costs);
  for (std::size_t row = 0; row < path.points.size(); ++row) {
    DelayPoint& point = path.points[row];
    const SongPlace& place = places[way.columns[row] / kFirstColumns];
    const auto column = static_cast<double>(way.columns[row] % kFirstColumns);
    point.lead_s = place.start_s + (place.speed - path.speed) * point.tape_s + (column - kFirstReach) / kSongRate_hz;
    point.z = static_cast<double>(picture.scores[row * columns + way.columns[row]]);
    point.held = point.z > kLeastZ;
  }
}

// The curves of the windows near by, laid upon each other along the track: what is ambiguous in one note is not in the
// next. Scaled to chance's own deviation.
void DelayTrack::stack(const DelayPath& path, std::span<const float> curves, std::size_t at, std::span<float> out) {
  std::fill(out.begin(), out.end(), 0.0F);
  std::array<double, 2 * kStacked + 1> weights{};
  for (std::size_t k = 0; k <= 2 * kStacked; ++k) {
    const std::size_t point = at + k;
    if (point < kStacked || point - kStacked >= path.points.size()) continue;
    const DelayPoint& other = path.points[point - kStacked];
    if (!other.compared || other.piece != path.points[at].piece) continue;
    const double distance = std::abs(static_cast<double>(k) - static_cast<double>(kStacked));
    weights[k] = 1.0 - distance / (static_cast<double>(kStacked) + 1.0);
    const std::span<const float> curve = curves.subspan((point - kStacked) * out.size(), out.size());
    for (std::size_t i = 0; i < out.size(); ++i) out[i] += static_cast<float>(weights[k]) * curve[i];
  }
  double variance = 0.0;
  for (std::size_t k = 0; k <= 2 * kStacked; ++k)
    for (std::size_t apart = 0; apart < kOverlap.size() && k + apart <= 2 * kStacked; ++apart)
      variance += (apart == 0 ? 1.0 : 2.0) * kOverlap[apart] * weights[k] * weights[k + apart];
  const float scale = variance > 0.0 ? static_cast<float>(1.0 / std::sqrt(variance)) : 0.0F;
  for (float& value : out) value *= scale;
}

void DelayTrack::note_pitch(const DelayPath& path, DelayPoint& point) noexcept {
  const double half_s = 0.25 * PhaseCorrelator::kWindow_s;
  const auto ratio = partials_.of(correlator_.tape_spectrum(), correlator_.reference_spectrum());
  if (!ratio) return;
  const double lead =
      lead_at(path, point.tape_s + half_s, point.piece) - lead_at(path, point.tape_s - half_s, point.piece);
  const double speed = path.speed + lead / (2.0 * half_s);
  point.pitch = speed * ratio->ratio;
  point.pitch_sigma = speed * ratio->sigma;
}

std::vector<float> DelayTrack::curves_along(DelayPath& path, std::size_t reach, bool with_pitch) {
  const std::size_t width = 2 * reach + 1;
  std::vector<float> curves(path.points.size() * width);
  for (std::size_t i = 0; i < path.points.size(); ++i) {
    DelayPoint& point = path.points[i];
    point.heard = correlator_.set_tape(tape_, point.tape_s) && correlator_.tape_power() >= kSilent * loud_power_;
    point.compared = false;
    if (!point.heard) continue;
    read_reference(path, point);
    const std::span<float> curve = std::span(curves).subspan(i * width, width);
    point.compared = correlator_.curve(curve);
    if (with_pitch && point.compared) note_pitch(path, point);
    for (float& z : curve) z = path.inverted ? -z : z;
  }
  return curves;
}

void DelayTrack::next_pass(DelayPath& path) {
  const std::size_t width = 2 * kNextReach + 1;
  std::vector<float> curves = curves_along(path, kNextReach);
  for (float& z : curves) z = std::min(z, kMostZ);
  const Way way = best_way(curves, width, 1, kNextCosts);
  std::vector<DelayPoint> next = path.points;
  for (std::size_t i = 0; i < next.size(); ++i) {
    const double delay_s = (static_cast<double>(way.columns[i]) - static_cast<double>(kNextReach)) / kSongRate_hz;
    next[i].lead_s = path.speed * delay_s + lead_at(path, next[i].tape_s + delay_s, next[i].piece);
  }
  path.points = std::move(next);
}

void DelayTrack::last_pass(DelayPath& path) {
  const std::size_t width = 2 * kLastReach + 1;
  const std::vector<float> curves = curves_along(path, kLastReach, true);
  std::vector<DelayPoint> next = path.points;
  std::vector<float> sum(width);
  for (std::size_t i = 0; i < next.size(); ++i) {
    DelayPoint& point = next[i];
    point.held = false;
    point.z = 0.0;
    if (!point.compared) continue;
    stack(path, curves, i, sum);
    const auto top = static_cast<std::size_t>(std::max_element(sum.begin(), sum.end()) - sum.begin());
    point.z = *std::max_element(sum.begin() + kLastReach - kHere, sum.begin() + kLastReach + kHere + 1);
    if (sum[top] < kLeastZ || top + kOnTrack < kLastReach || top > kLastReach + kOnTrack) continue;
    const auto delay_s = own_peak_s(std::span(curves).subspan(i * width, width), top);
    if (!delay_s) continue;
    point.held = true;
    point.lead_s = path.speed * *delay_s + lead_at(path, point.tape_s + *delay_s, point.piece);
  }
  path.points = std::move(next);
}

DelayPath DelayTrack::path_from(const SongPlace& place) const {
  DelayPath path;
  path.speed = place.speed;
  for (double at = 0.5 * PhaseCorrelator::kWindow_s; at < end_s(); at += 2.0 * kStep_s)
    path.points.push_back({at, place.start_s, 0.0, false, false, 0});
  return path;
}

void DelayTrack::refine(DelayPath& path) {
  if (stopped()) return;
  straighten(path);
  find_pieces(path);
  halve_steps(path, end_s());
  for (int pass = 0; pass < kPasses; ++pass) {
    smooth(path);
    next_pass(path);
    if (stopped()) return;
  }
  smooth(path);
  last_pass(path);
}

DelayPath DelayTrack::follow(std::span<const SongPlace> places) {
  if (places.empty()) return {};
  DelayPath path = path_from(places.front());
  if (path.points.size() < 10) return {};
  draw(places, path);
  if (stopped()) return {};
  first_pass(places, path, 0.0);
  refine(path);
  return path;
}

DelayPath DelayTrack::follow_by_pitch(std::span<const SongPlace> places, double wander_share) {
  if (places.empty()) return {};
  DelayPath path = path_from(places.front());
  if (upright_.columns != places.size() * kFirstColumns ||
      upright_.scores.size() != path.points.size() * upright_.columns)
    return {};
  first_pass(places, path, wander_share);
  refine(path);
  return path;
}

}  // namespace four76
