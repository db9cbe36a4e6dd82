#include "web/song/match/trail.hpp"

#include <algorithm>
#include <cmath>

#include "core/signal/statistics.hpp"

namespace four76 {
namespace {

constexpr double kLeastCalm_s = 3.0;
constexpr double kMostGap_s = 0.3;          // longer without a measured dial: a new stretch
constexpr double kTurned_percent = 0.15;    // beyond what wow makes of a second's mean and its own uncertainty: a turn
constexpr double kLeastU95_percent = 2e-3;  // as the session's dial

struct Mean {
  double value = 0.0, scatter = 0.0;
};

Mean mean_of(const TrailPoint* first, const TrailPoint* last) {
  Mean mean;
  const auto n = static_cast<double>(last - first);
  for (const auto* at = first; at != last; ++at) mean.value += at->speed_error_percent / n;
  for (const auto* at = first; at != last; ++at)
    mean.scatter += (at->speed_error_percent - mean.value) * (at->speed_error_percent - mean.value) / n;
  mean.scatter = std::sqrt(mean.scatter);
  return mean;
}

}  // namespace

void SongTrail::clear() {
  points_.clear();
  lost_at_s_.reset();
}

void SongTrail::add(const Reading& dial) {
  TrailPoint point;
  point.time_s = dial.time_s;
  point.status = dial.speed_error_percent ? dial.status : Status::no_tone;
  point.speed_error_percent = dial.speed_error_percent.value_or(0.0);
  point.u95_percent = dial.u95_percent.value_or(0.0);
  points_.push_back(point);
  if (dial.reasons.contains(Reason::capture_gap)) lost_at_s_ = dial.time_s;
  const auto old = std::find_if(points_.begin(), points_.end(),
                                [&](const TrailPoint& each) { return each.time_s >= dial.time_s - kKept_s; });
  points_.erase(points_.begin(), old);
}

Reading SongTrail::calm() const {
  Reading calm;
  calm.reasons.add(Reason::too_short);
  if (points_.empty() || points_.back().status != Status::measured) return calm;
  const double now_s = points_.back().time_s;
  const TrailPoint* const end = points_.data() + points_.size();
  const TrailPoint* first = end - 1;
  double held_s = now_s;  // of the oldest measured one so far
  for (const TrailPoint* at = first; at >= points_.data() && now_s - at->time_s <= kCalm_s; --at) {
    if (held_s - at->time_s > kMostGap_s) break;
    if (at->status != Status::measured) continue;
    held_s = at->time_s;
    first = at;
  }
  const double span_s = now_s - first->time_s;
  if (span_s < kLeastCalm_s) return calm;
  std::vector<TrailPoint> good;
  std::copy_if(first, end, std::back_inserter(good), [](const TrailPoint& p) { return p.status == Status::measured; });
  const auto* const middle = good.data() + good.size() / 2;
  const Mean all = mean_of(good.data(), good.data() + good.size());
  const Mean before = mean_of(good.data(), middle), after = mean_of(middle, good.data() + good.size());
  const double n = std::max(2.0, span_s / kDial_s);
  calm.reasons.clear();
  calm.status = Status::measured;
  calm.time_s = now_s;
  calm.trusted_s = span_s;
  calm.speed_error_percent = calm.plain_speed_error_percent = all.value;
  calm.u95_percent = std::max(kLeastU95_percent, student_t95(n - 1.0) * all.scatter / std::sqrt(n));
  if (lost_at_s_ && *lost_at_s_ >= first->time_s) calm.reasons.add(Reason::capture_gap);
  const double apart = std::fabs(before.value - after.value);
  if (apart > kTurned_percent + 2.0 * std::min(before.scatter, after.scatter)) calm.reasons.add(Reason::not_steady);
  return calm;
}

}  // namespace four76
