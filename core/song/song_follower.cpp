#include "core/song/song_follower.hpp"

#include <algorithm>
#include <bit>
#include <cmath>

namespace four76 {
namespace {
constexpr double kTurn_s = 0.05;  // from one window to the next
constexpr double kReach_s = 0.012;
constexpr double kLeastZ = 3.0;         // where a peak is expected
constexpr double kMostZ = 12.0;         // more does not make a peak more likely
constexpr double kKept = 0.8;           // of the score from window to window: a quarter of a second
constexpr double kKeptLong = 0.95;      // a second
constexpr double kUsual = 0.05;         // the usual height follows in a second
constexpr double kBetter = 1.2;         // takes over after a turn
constexpr double kBetterLong = 1.3;     // takes over at the same speed, where a note allows several places
constexpr double kNearlyAsUsual = 0.6;  // as the one that is shown had it before the turn
constexpr int kLeastHits = 4;
constexpr double kNear_s = 0.0008;       // what wow and a small turn move the place by from one window to the next
constexpr double kNearYoung_s = 0.0015;  // where the speed is known to a quarter of a percent only
constexpr double kWander = 0.004;        // of the time since the last point
constexpr double kSlip_s = 0.0004;       // a larger step of the place is a note's period: a new piece
constexpr double kSlipWander = 0.003;
constexpr double kNearlyAsHigh = 0.75;  // a note's period apart the nearest is the one
constexpr double kSlope_s = 0.6;
constexpr double kSteer = 0.2;  // of what the place is off by, while there are too few points for a slope
constexpr double kMuchHigher = 1.25;
constexpr double kFarBelow = 0.6;
}  // namespace

SongFollower::SongFollower(const SongPoint& first, double speed, const SongFollower& parent, Birth birth) noexcept
    : speed_(speed),
      score_(std::min(first.z, kMostZ)),
      long_score_(score_),
      usual_z_(parent.usual_z_),
      hits_(1),
      windows_(1),
      history_(1),
      inverted_(parent.inverted_),
      birth_(birth) {
  add(first, 0);
}

SongFollower::SongFollower(const SongLock::Path& path) noexcept : speed_(path.speed), inverted_(path.inverted) {
  for (const SongPoint& point : std::span(path.points).first(path.count)) {
    add(point, 0);
    usual_z_ += point.z / static_cast<double>(path.count);
  }
  score_ = std::min(usual_z_, kMostZ) / (1.0 - kKept);
  long_score_ = std::min(usual_z_, kMostZ) / (1.0 - kKeptLong);
  history_ = 7;
}

void SongFollower::add(const SongPoint& point, int piece) noexcept {
  if (count_ == points_.size()) {
    std::copy(points_.begin() + 1, points_.end(), points_.begin());
    std::copy(pieces_.begin() + 1, pieces_.end(), pieces_.begin());
    --count_;
  }
  points_[count_] = point;
  pieces_[count_++] = piece;
}

double SongFollower::place_at(double tape_s) const noexcept {
  return last().place_s + speed_ * (tape_s - last().tape_s);
}

bool SongFollower::is_same(const SongFollower& other) const noexcept {
  return inverted_ == other.inverted_ && std::abs(speed_ - other.speed_) < 0.003 &&
         std::abs(place_at(other.last().tape_s) - other.last().place_s) < 0.0005;
}

bool SongFollower::carry_on(SongWindow& window) noexcept {
  const double since_s = window.middle_s() - last().tape_s;
  const double expected_s = place_at(window.middle_s());
  const double room_s = (span_s() < kOld_s ? kNearYoung_s : kNear_s) + kWander * since_s;
  const SongPeak* near = nullptr;
  const SongPeak* highest = nullptr;
  for (const SongPeak& peak : window.peaks(expected_s, speed_, kReach_s)) {
    if (peak.inverted != inverted_) continue;
    if (!highest) highest = &peak;
    const double off_s = std::abs(peak.place_s - expected_s);
    if (off_s > room_s || peak.z < kLeastZ) continue;
    if (!near || (peak.z > kNearlyAsHigh * near->z && off_s < std::abs(near->place_s - expected_s))) near = &peak;
  }
  const double z = near ? near->z : 0.0;
  score_ = kKept * score_ + std::min(z, kMostZ);
  long_score_ = kKeptLong * long_score_ + std::min(z, kMostZ);
  ++windows_;
  history_ = (history_ << 1) | (near ? 1U : 0U);
  missed_ = z < kFarBelow * usual_z_;
  elsewhere_.reset();
  if (highest && highest != near && highest->z > kMuchHigher * z && highest->z > kLeastZ) elsewhere_ = *highest;
  if (!near) return false;
  ++hits_;
  usual_z_ += kUsual * (std::min(z, kMostZ) - usual_z_);
  const double off_s = near->place_s - expected_s;
  const bool slipped = span_s() > kOld_s && std::abs(off_s) > kSlip_s + kSlipWander * since_s;
  add({window.middle_s(), near->place_s, z}, pieces_[count_ - 1] + (slipped ? 1 : 0));
  if (const auto slope = slope_of(kSlope_s))
    speed_ = slope->speed;
  else if (!slipped)
    speed_ += kSteer * off_s / std::max(since_s, kTurn_s);
  return true;
}

int SongFollower::recent_hits() const noexcept { return std::popcount(history_ & 0x3FFU); }

// What had its day before a turn does not take over from a younger one that goes on where it does not.
bool SongFollower::is_better_than(const SongFollower& shown) const noexcept {
  if (birth_ == Birth::beside) return score_ > shown.score_ && long_score_ > kBetterLong * shown.long_score_;
  return hits_ >= kLeastHits && score_ > kBetter * shown.score_ &&
         score_ > kNearlyAsUsual * std::min(shown.usual_z_, kMostZ) / (1.0 - kKept) * (1.0 - std::pow(kKept, windows_));
}

// One slope for all, an offset for each piece.
std::optional<SongFollower::Slope> SongFollower::slope_of(double window_s, const SongStillness* still) const noexcept {
  const double from_s = last().tape_s - window_s;
  auto cleaned = points_;
  const auto points = std::span(cleaned).first(count_);
  if (still) still->clean(points);
  double xx = 1e-12;
  double xy = 0.0;
  double yy = 0.0;
  double n = 0.0;
  double span_s = 0.0;
  int pieces = 0;
  for (std::size_t from = 0; from < count_;) {
    std::size_t to = from;
    while (to < count_ && pieces_[to] == pieces_[from]) ++to;
    while (from < to && points[from].tape_s < from_s) ++from;
    const auto piece = points.subspan(from, to - from);
    from = to;
    if (piece.size() < 2) continue;
    double middle_s = 0.0;
    double place_s = 0.0;
    for (const SongPoint& point : piece) {
      middle_s += point.tape_s / static_cast<double>(piece.size());
      place_s += point.place_s / static_cast<double>(piece.size());
    }
    for (const SongPoint& point : piece) {
      const double x = point.tape_s - middle_s;
      const double y = point.place_s - place_s;
      xx += x * x;
      xy += x * y;
      yy += y * y;
    }
    n += static_cast<double>(piece.size());
    span_s += piece.back().tape_s - piece.front().tape_s;
    ++pieces;
  }
  if (span_s < kOld_s) return std::nullopt;
  Slope slope;
  slope.speed = xy / xx;
  // Windows overlap: 0.17 s of tape make one independent point (the half points of Hann's window).
  const double independent = std::max(1.0, n * 2.0 * kTurn_s / PhaseCorrelator::kWindow_s - pieces);
  const double variance = std::max(0.0, yy - slope.speed * xy) / n;
  slope.u95 = 1.96 * std::sqrt(variance / (xx / n) / independent);
  return slope;
}

}  // namespace four76
