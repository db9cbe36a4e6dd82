#include "core/song/song_pursuit.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {
namespace {
constexpr double kLeastScore = 30.0;  // of a second of the one that is shown: half of what chance's highest peaks make
constexpr double kDeadScore = 3.0;    // of one beside it
constexpr int kLeastHits = 3;         // of the last ten windows
constexpr int kLeastBest = 16;        // of the last 32
constexpr std::size_t kMostBeside = 3;
constexpr std::size_t kMostTurned = 2;
constexpr double kLeastSupposedZ = 4.0;  // of one window alone, where other speeds are tried
constexpr double kAroundStep = 0.002;    // of speed: a flute's upper partials agree over a window within half of that
constexpr int kAround = 60;              // speeds, to 6 % on either side
constexpr int kAroundATurn = 16;
constexpr double kAroundRoom_s = 0.0012;
constexpr double kMostBeforeTurn_s = 0.1;  // half a window, near enough
constexpr double kTurnRoom_s = 0.15;       // what is not known of when it was turned
constexpr double kNearlyAsHigh = 0.75;     // of such peaks the nearest is the one
constexpr double kAgreed_s = 0.31;         // seven windows
constexpr double kStale_s = 0.11;
constexpr double kWithoutPlace_s = 1.5;  // that the partials are believed for: some notes
constexpr double kUnbroken_s = 0.3;      // of what is let go for longer, the height alone is no proof any more
constexpr double kTurned = 0.002;        // more than a portable's wow within so short a time
constexpr int kLeastMisses = 3;
constexpr int kLookFar = 4;       // turns
constexpr double kFar_s = 0.045;  // what the search may be off by
constexpr double kOnTrail_s = 0.001;
}  // namespace

void SongPursuit::reset() noexcept {
  follower_count_ = 0;
  likeness_.reset();
  still_.reset();
  rates_.reset();
  rate_.reset();
  held_at_s_ = placed_at_s_ = 0.0;
  step_.reset();
}

void SongPursuit::begin(const SongLock::Path& path, double time_s, const SongLikeness& along_path) noexcept {
  held_at_s_ = placed_at_s_ = time_s;
  rates_.reset();
  rate_.reset();
  likeness_ = along_path;
  followers_[0] = SongFollower(path);
  follower_count_ = 1;
}

void SongPursuit::follow(SongWindow& window, double time_s, bool may_have_stepped) noexcept {
  carry_on(window);
  if (++turns_ % kLookFar == 0) look_far(window);
  if (may_hold(time_s) && is_placed_ && shown().lasting_score() > kLeastScore && shown().recent_hits() >= kLeastHits &&
      shown().recent_best() >= kLeastBest)
    held_at_s_ = placed_at_s_ = time_s;
  turn_as_partials_say(time_s);
  if (shown().missed() && (!rate_ || is_denied(shown()))) look_around(window);
  settle(time_s, may_have_stepped);
  still_.learn(shown().last(), shown().speed());
}

bool SongPursuit::may_hold(double time_s) const noexcept {
  return likeness_.is_alike() || (shown().is_beyond_doubt() && time_s - held_at_s_ < kUnbroken_s);
}

void SongPursuit::carry_on(SongWindow& window) noexcept {
  is_placed_ = followers_[0].carry_on(window, rate_);
  likeness_.hear(window.tape_spectrum(), window.reference_spectrum());
  listen_to_partials(window);
  const std::size_t known = follower_count_;
  if (const auto& elsewhere = shown().elsewhere())
    suppose(
        {{window.middle_s(), elsewhere->place_s, elsewhere->z}, shown().speed(), shown(), SongFollower::Birth::beside});
  for (std::size_t i = 1; i < known; ++i) followers_[i].carry_on(window, rate_);
}

// A note may have no place to hold on to, but its partials go on telling the speed.
void SongPursuit::listen_to_partials(SongWindow& window) noexcept {
  if (const auto rate = window.rate()) {
    rates_.add(*rate);
    if (!is_placed_) followers_[0].reckon(*rate);
  }
  rate_ = rates_.agreed(window.middle_s() - kAgreed_s);
  if (rate_ && rate_->to_s < window.middle_s() - kStale_s) rate_.reset();
}

void SongPursuit::turn_as_partials_say(double time_s) noexcept {
  if (!rate_ || time_s - placed_at_s_ > kWithoutPlace_s) return;
  if (!is_denied(shown())) {
    if (may_hold(time_s) && shown().misses() > 0) held_at_s_ = time_s;
    return;
  }
  if (shown().misses() < kLeastMisses) return;
  const SongFollower old = shown();
  followers_[0] = SongFollower(old, *rate_);
  if (may_hold(time_s)) held_at_s_ = time_s;
  suppose(old);
}

// By the partials, which say another speed.
bool SongPursuit::is_denied(const SongFollower& follower) const noexcept {
  return rate_ && std::abs(follower.speed() - rate_->speed) > kTurned + rate_->u95;
}

// What is supposed already is not supposed again; the weakest of those that were born so makes room. A steady note has
// a place to go on beside at each of its periods: they do not take the room of other speeds.
void SongPursuit::suppose(const SongFollower& follower) noexcept {
  std::size_t alike = 0;
  SongFollower* weakest = nullptr;
  for (std::size_t i = 0; i < follower_count_; ++i) {
    if (followers_[i].is_same(follower)) return;
    if (i == 0 || followers_[i].birth() != follower.birth()) continue;
    ++alike;
    if (!weakest || followers_[i].score() < weakest->score()) weakest = &followers_[i];
  }
  const std::size_t most = follower.birth() == SongFollower::Birth::beside ? kMostBeside : kMostTurned;
  if (alike < most && follower_count_ < followers_.size())
    followers_[follower_count_++] = follower;
  else if (weakest && weakest->score() < follower.score())
    *weakest = follower;
}

// The best is shown; what leads nowhere, or where another leads, is let go.
void SongPursuit::settle(double time_s, bool may_have_stepped) noexcept {
  step_.reset();
  for (std::size_t i = 1; i < follower_count_; ++i) {
    const bool stepped = followers_[i].stepped_from(followers_[0]);
    const bool better = followers_[i].is_better_than(followers_[0]) ||
                        (may_have_stepped && stepped && followers_[i].score() > followers_[0].score());
    if (!better || (is_denied(followers_[i]) && !is_denied(followers_[0]))) continue;
    std::swap(followers_[0], followers_[i]);
    if (stepped) step_ = {time_s, followers_[i].aside_s(), shown().aside_s(), shown().long_score()};
  }
  std::size_t kept = 1;
  for (std::size_t i = 1; i < follower_count_; ++i) {
    bool is_own = followers_[i].score() > kDeadScore;
    for (std::size_t j = 0; j < kept; ++j) is_own = is_own && !followers_[j].is_same(followers_[i]);
    if (is_own) followers_[kept++] = followers_[i];
  }
  follower_count_ = kept;
}

// The place that was locked on may be beside the right one, by more than is looked at from window to window.
void SongPursuit::look_far(SongWindow& window) noexcept {
  const double expected_s = shown().place_at(window.middle_s());
  for (const SongPeak& peak : window.peaks(expected_s, shown().speed(), kFar_s)) {
    if (peak.inverted != shown().inverted()) continue;
    if (peak.z > kLeastSupposedZ && std::abs(peak.place_s - expected_s) > kOnTrail_s)
      suppose({{window.middle_s(), peak.place_s, peak.z}, shown().speed(), shown(), SongFollower::Birth::beside});
    return;
  }
}

// Other speeds since the last point of the one that is shown, a few at each turn. Windows miss as soon as their middle
// comes near to where the trimmer was turned.
void SongPursuit::look_around(SongWindow& window) noexcept {
  const SongPoint last = shown().last();
  const double since_s = window.middle_s() - last.tape_s;
  const double before_s = std::min(0.5 * since_s, kMostBeforeTurn_s);
  const double speed = shown().speed();
  SongPeak best;
  double best_speed = speed;
  for (int i = 0; i < kAroundATurn; ++i) {
    around_ = (around_ + 1) % kAround;
    const double other = speed * (1.0 + (around_ % 2 == 0 ? 1 : -1) * (around_ / 2 + 1) * kAroundStep);
    const double expected_s = last.place_s + speed * before_s + other * (since_s - before_s);
    const double room_s = kAroundRoom_s + std::abs(other - speed) * kTurnRoom_s;
    const auto peak = nearest(window.peaks(expected_s, other, room_s), expected_s);
    if (!peak || peak->z <= best.z) continue;
    best = *peak;
    best_speed = other;
  }
  if (best.z > kLeastSupposedZ)
    suppose({{window.middle_s(), best.place_s, best.z}, best_speed, shown(), SongFollower::Birth::turned});
}

// Of nearly equal peaks, a note's period apart, the nearest.
std::optional<SongPeak> SongPursuit::nearest(std::span<const SongPeak> peaks, double place_s) const noexcept {
  std::optional<SongPeak> best;
  for (const SongPeak& peak : peaks) {
    if (peak.inverted != shown().inverted()) continue;
    if (!best ||
        (peak.z > kNearlyAsHigh * best->z && std::abs(peak.place_s - place_s) < std::abs(best->place_s - place_s)))
      best = peak;
  }
  return best;
}

}  // namespace four76
