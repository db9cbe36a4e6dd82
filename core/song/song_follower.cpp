#include "core/song/song_follower.hpp"

#include <algorithm>
#include <bit>
#include <cmath>

#include "core/signal/statistics.hpp"

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
constexpr double kBetterLong = 1.15;    // takes over at the same speed, where a note allows several places
constexpr double kNearlyAsUsual = 0.6;  // as the one that is shown had it before the turn
constexpr int kLeastHits = 4;
constexpr int kLongAgo = 1000;
constexpr int kLasting = 8;               // windows: two and a half that are independent
constexpr double kNear_s = 0.0008;        // what wow and a small turn move the place by from one window to the next
constexpr double kWander = 0.004;         // of the time since the last point
constexpr double kSlip_s = 0.0004;        // a larger step of the place is a note's period: a new piece
constexpr double kSlipRated_s = 0.00025;  // where the partials tell how far it came: a fifth of a high note's period
constexpr double kMostRated_s = 0.3;
constexpr double kSlipWander = 0.003;
constexpr double kNearlyAsHigh = 0.75;  // a note's period apart the nearest is the one
constexpr double kSlope_s = 0.6;
constexpr double kSteer = 0.2;  // of what the place is off by, while there are too few points for a slope
constexpr double kMostReckoned = 0.004;
constexpr double kMuchHigher = 1.25;
constexpr double kFarBelow = 0.6;
constexpr double kBeyondDoubt = 5.5;  // of another song's windows 98 in 100 reach 4.6 at most (seen in twelve manners)
constexpr double kStep_s = 0.001;
constexpr double kPointSigma_s = 40e-6;  // of a point, before any is known: noisy music

double weight_of(const SongPoint& point) noexcept {
  const double z = std::clamp(point.z, kLeastZ, kMostZ);
  return z * z;
}
}  // namespace

SongFollower::SongFollower(const SongPoint& first, double speed, const SongFollower& parent, Birth birth) noexcept
    : speed_(speed),
      score_(std::min(first.z, kMostZ)),
      long_score_(score_),
      usual_z_(parent.usual_z_),
      aside_s_(parent.aside_s_ + (birth == Birth::beside ? first.place_s - parent.place_at(first.tape_s) : 0.0)),
      hits_(1),
      windows_(1),
      history_(1),
      best_(parent.best_),
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
  best_ = ~0U;
  windows_ = kLongAgo;
}

SongFollower::SongFollower(const SongFollower& parent, const SongRates::Agreed& rate) noexcept
    : speed_(rate.speed),
      usual_z_(parent.usual_z_),
      aside_s_(parent.aside_s_),
      inverted_(parent.inverted_),
      birth_(Birth::turned) {
  SongPoint held = parent.points_[0];
  for (const SongPoint& point : std::span(parent.points_).first(parent.count_))
    if (point.z > 0.0) held = point;
  // Somewhere between the two it was turned: halfway is off by half the time at most.
  const double turned_s = 0.5 * (held.tape_s + std::max(held.tape_s, rate.from_s));
  const double place_s = held.place_s + parent.speed_ * (turned_s - held.tape_s);
  for (double tape_s = rate.from_s; tape_s < rate.to_s + 0.5 * kTurn_s; tape_s += kTurn_s)
    if (tape_s > held.tape_s) add({tape_s, place_s + speed_ * (tape_s - turned_s), 0.0}, 0);
  if (count_ == 0) add({rate.to_s, place_s + speed_ * (rate.to_s - turned_s), 0.0}, 0);
  score_ = std::min(usual_z_, kMostZ) / (1.0 - kKept);
  long_score_ = std::min(usual_z_, kMostZ) / (1.0 - kKeptLong);
  windows_ = kLongAgo;
  best_ = parent.best_;
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

bool SongFollower::carry_on(SongWindow& window, const std::optional<SongRates::Agreed>& rate) noexcept {
  const double since_s = window.middle_s() - last().tape_s;
  const double expected_s = place_at(window.middle_s());
  std::optional<SongPeak> highest;
  for (const SongPeak& peak : window.peaks(expected_s, speed_, kReach_s))
    if (!highest && peak.inverted == inverted_) highest = peak;
  const auto near = near_peak(window.peaks_within(kNear_s + kWander * since_s), expected_s);
  const double z = near ? near->z : 0.0;
  score_ = kKept * score_ + std::min(z, kMostZ);
  long_score_ = kKeptLong * long_score_ + std::min(z, kMostZ);
  ++windows_;
  history_ = (history_ << 1) | (near ? 1U : 0U);
  missed_ = z < kFarBelow * usual_z_;
  elsewhere_.reset();
  if (highest && highest->z > kMuchHigher * z && highest->z > kLeastZ) elsewhere_ = *highest;
  best_ = (best_ << 1) | (near && !elsewhere_ ? 1U : 0U);
  if (!near) return false;
  ++hits_;
  usual_z_ += kUsual * (std::min(z, kMostZ) - usual_z_);
  take({window.middle_s(), near->place_s, z}, rate);
  return true;
}

// Of nearly equal peaks, a note's period apart, the nearest to where it is expected.
std::optional<SongPeak> SongFollower::near_peak(std::span<const SongPeak> peaks, double expected_s) const noexcept {
  std::optional<SongPeak> near;
  for (const SongPeak& peak : peaks) {
    if (peak.inverted != inverted_ || peak.z < kLeastZ) continue;
    const bool is_nearer = near && std::abs(peak.place_s - expected_s) < std::abs(near->place_s - expected_s);
    if (!near || (is_nearer && peak.z > kNearlyAsHigh * near->z)) near = peak;
  }
  return near;
}

void SongFollower::take(const SongPoint& point, const std::optional<SongRates::Agreed>& rate) noexcept {
  const double since_s = point.tape_s - last().tape_s;
  const double off_s = point.place_s - place_at(point.tape_s);
  const bool is_rated = rate && since_s < kMostRated_s;
  const double off_rate_s = is_rated ? point.place_s - last().place_s - rate->speed * since_s : 0.0;
  const bool slipped = is_rated ? std::abs(off_rate_s) > kSlipRated_s + kSlipWander * since_s
                                : span_s() > kOld_s && std::abs(off_s) > kSlip_s + kSlipWander * since_s;
  if (slipped) aside_s_ += is_rated ? off_rate_s : off_s;
  add(point, pieces_[count_ - 1] + (slipped ? 1 : 0));
  if (const auto slope = slope_of(kSlope_s))
    speed_ = slope->speed;
  else if (is_rated)
    speed_ = rate->speed;
  else if (!slipped)
    speed_ += kSteer * off_s / std::max(since_s, kTurn_s);
}

void SongFollower::reckon(const SongRate& rate) noexcept {
  const double since_s = rate.tape_s - last().tape_s;
  if (since_s <= 0.0 || std::abs(rate.speed - speed_) > kMostReckoned) return;
  add({rate.tape_s, last().place_s + rate.speed * since_s, 0.0}, pieces_[count_ - 1]);
  if (const auto slope = slope_of(kSlope_s)) speed_ = slope->speed;
}

double SongFollower::lasting_score() const noexcept {
  return windows_ < kLasting ? 0.0 : long_score_ / (1.0 - std::pow(kKeptLong, windows_));
}

bool SongFollower::is_beyond_doubt() const noexcept { return score_ * (1.0 - kKept) > kBeyondDoubt; }

int SongFollower::misses() const noexcept { return std::countr_zero(history_); }

int SongFollower::recent_best() const noexcept { return std::popcount(best_); }

int SongFollower::recent_hits() const noexcept { return std::popcount(history_ & 0x3FFU); }

bool SongFollower::stepped_from(const SongFollower& shown) const noexcept {
  return birth_ == Birth::beside && hits_ >= kLeastHits && misses() == 0 && shown.misses() >= kLeastHits &&
         std::abs(place_at(last().tape_s) - shown.place_at(last().tape_s)) > kStep_s;
}

// What had its day before a turn does not take over from a younger one that goes on where it does not.
bool SongFollower::is_better_than(const SongFollower& shown) const noexcept {
  if (birth_ == Birth::beside) return score_ > shown.score_ && long_score_ > kBetterLong * shown.long_score_;
  return hits_ >= kLeastHits && score_ > kBetter * shown.score_ &&
         score_ > kNearlyAsUsual * std::min(shown.usual_z_, kMostZ) / (1.0 - kKept) * (1.0 - std::pow(kKept, windows_));
}

// One slope for all, an offset for each piece; points that stand out of chance more count for more, as their variance
// goes by 1 / z^2. Windows overlap: 0.17 s of tape make one independent point (the half points of Hann's window). What
// so few points scatter is little known: Student's t, and a usual scatter that counts as one point of them.
std::optional<SongFollower::Slope> SongFollower::slope_of(double window_s, const SongStillness* still) const noexcept {
  const double from_s = last().tape_s - window_s;
  auto cleaned = points_;
  const auto points = std::span(cleaned).first(count_);
  if (still) still->clean(points);
  double xx = 1e-12;
  double xy = 0.0;
  double yy = 0.0;
  double weights = 0.0;
  double independent = 0.0;
  double span_s = 0.0;
  int pieces = 0;
  for (std::size_t from = 0; from < count_;) {
    std::size_t to = from;
    while (to < count_ && pieces_[to] == pieces_[from]) ++to;
    while (from < to && points[from].tape_s < from_s) ++from;
    const auto piece = points.subspan(from, to - from);
    from = to;
    if (piece.size() < 2) continue;
    double weight = 0.0;
    double squares = 0.0;
    double middle_s = 0.0;
    double place_s = 0.0;
    for (const SongPoint& point : piece) {
      const double w = weight_of(point);
      weight += w;
      squares += w * w;
      middle_s += w * point.tape_s;
      place_s += w * point.place_s;
    }
    middle_s /= weight;
    place_s /= weight;
    for (const SongPoint& point : piece) {
      const double w = weight_of(point);
      const double x = point.tape_s - middle_s;
      const double y = point.place_s - place_s;
      xx += w * x * x;
      xy += w * x * y;
      yy += w * y * y;
    }
    weights += weight;
    const double length_s = piece.back().tape_s - piece.front().tape_s;
    independent += std::min(weight * weight / squares, 1.0 + 2.0 * length_s / PhaseCorrelator::kWindow_s);
    span_s += length_s;
    ++pieces;
  }
  if (span_s < kOld_s) return std::nullopt;
  Slope slope;
  slope.speed = xy / xx;
  const double freedom = std::max(0.0, independent - pieces - 1.0) + 1.0;
  const double scatter = std::max(0.0, yy - slope.speed * xy) / weights * independent;
  const double variance = (scatter + kPointSigma_s * kPointSigma_s) / freedom;
  slope.u95 = student_t95(freedom) * std::sqrt(variance / (xx / weights * independent));
  return slope;
}

}  // namespace four76
