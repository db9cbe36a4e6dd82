#include "core/song/song_session.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {
namespace {
constexpr double kDial_s = 0.05;
constexpr auto kDialSamples = static_cast<std::uint64_t>(kDial_s * kSongRate_hz);
constexpr double kRing_s = 8.0;
constexpr double kSnapshot_s = 5.0;
constexpr double kHalfWindow_s = 0.5 * PhaseCorrelator::kWindow_s;
constexpr double kSilent = 1e-8;  // mean square: -80 dBFS
constexpr double kLost_s = 1.0;   // without a hold
constexpr double kLookOn_s = 4.0;
constexpr double kLeastScore =
    30.0;  // of a second of the one that is shown: half of what chance's highest peaks would make
constexpr double kDeadScore = 3.0;       // of one beside it
constexpr int kLeastHits = 3;            // of the last ten windows
constexpr double kLeastSupposedZ = 4.0;  // of one window alone, where other speeds are tried
constexpr double kAroundStep = 0.004;    // of speed
constexpr int kAround = 30;              // speeds, to 6 % on either side
constexpr int kAroundATurn = 8;
constexpr double kAroundRoom_s = 0.0012;
constexpr std::size_t kSpectraASlice = 40;
constexpr std::size_t kMostPlaces = 9;
constexpr double kNearlyAsLikely = 0.6;  // of the best place's agreement beyond chance
constexpr int kMostTries = 12;           // of one place: four seconds
constexpr double kCalmer = 2.0;
constexpr double kLeastMove = 0.0004;  // a smaller one does no harm
constexpr double kMoveSigmas = 2.5;
constexpr double kKeepUsual = 0.985;   // three seconds
constexpr double kKeepMoving = 0.998;  // else a turn would be the usual at once
constexpr int kWindowsATurn = 3;
constexpr int kLookFar = 4;       // turns
constexpr double kFar_s = 0.045;  // what the search may be off by
constexpr double kOnTrail_s = 0.001;
}  // namespace

SongSession::SongSession(const Config& config, std::vector<float> reference)
    : config_(config),
      reference_(std::move(reference)),
      changer_({.sample_rate_hz = config.sample_rate_hz, .channels = config.channels}),
      window_(reference_),
      search_(reference_),
      spectra_(static_cast<std::size_t>(kSnapshot_s * kSongRate_hz)),
      ring_(static_cast<std::size_t>(kRing_s * kSongRate_hz)),
      snapshot_(static_cast<std::size_t>(kSnapshot_s * kSongRate_hz)) {
  places_.reserve(kMostPlaces + 1);
}

void SongSession::reset() noexcept {
  changer_.reset();
  std::fill(ring_.begin(), ring_.end(), 0.0F);
  taken_ = 0;
  dial_count_ = 0;
  state_ = SongState::silent;
  dial_ = {};
  follower_count_ = 0;
  usual_square_ = 0.0;
  moved_at_s_ = 0.0;
  sound_since_s_ = 0.0;
  still_.reset();
  begin_search();
}

std::optional<double> SongSession::position_s() const noexcept {
  if (state_ != SongState::following || follower_count_ == 0) return std::nullopt;
  return shown().place_at(time_s());
}

void SongSession::process(std::span<const float> interleaved) noexcept {
  changer_.process(interleaved, [this](float sample) { take(sample); });
}

// The ring holds the newest samples, oldest first: moved down once a second.
void SongSession::take(float sample) noexcept {
  const std::size_t move = static_cast<std::size_t>(kSongRate_hz);
  const auto at =
      static_cast<std::size_t>(taken_ < ring_.size() ? taken_ : ring_.size() - move + (taken_ - ring_.size()) % move);
  if (taken_ >= ring_.size() && (taken_ - ring_.size()) % move == 0)
    std::copy(ring_.begin() + static_cast<std::ptrdiff_t>(move), ring_.end(), ring_.begin());
  ring_[at] = sample;
  ++taken_;
  if (taken_ % kDialSamples == 0) turn_dial();
}

void SongSession::turn_dial() noexcept {
  if (time_s() < 2.0 * kHalfWindow_s + kDial_s) return;
  const std::size_t move = static_cast<std::size_t>(kSongRate_hz);
  const auto filled = static_cast<std::size_t>(
      taken_ <= ring_.size() ? taken_ : ring_.size() - move + (taken_ - ring_.size() - 1) % move + 1);
  const double ring_from_s = time_s() - static_cast<double>(filled) / kSongRate_hz;
  ring_from_s_ = ring_from_s;
  ring_filled_ = filled;
  const bool sounds = window_.set_tape(sound(), ring_from_s_, time_s() - kHalfWindow_s) && window_.power() > kSilent;
  if (!sounds) sound_since_s_ = time_s();
  if (state_ == SongState::following) {
    follow(sounds);
    if (time_s() - held_at_s_ > kLost_s) {
      state_ = SongState::lost;
      begin_search();
    }
  } else {
    look_on(sounds);
    if (state_ == SongState::following) return finish_turn();
    if (!sounds && state_ != SongState::lost) state_ = SongState::silent;
    if (sounds && state_ == SongState::silent) {
      state_ = SongState::searching;
      begin_search();
    }
    if (sounds) search();
  }
  finish_turn();
}

void SongSession::finish_turn() noexcept {
  judge();
  ++dial_count_;
}

// A turn may hide from the follower what it looks for; the search needs five seconds of the new speed.
void SongSession::look_on(bool sounds) noexcept {
  if (state_ != SongState::lost || follower_count_ == 0) return;
  if (!sounds || time_s() - held_at_s_ > kLost_s + kLookOn_s) {  // who stops the tape may wind it
    follower_count_ = 0;
    return;
  }
  const double held_at_s = held_at_s_;
  follow(sounds);
  if (held_at_s_ > held_at_s) state_ = SongState::following;
}

void SongSession::begin_search() noexcept {
  slice_ = 0;
  is_trying_ = false;
  places_.clear();
}

// Slices: the newest sound set aside; its spectra; one speed at a time; the best places tried one at a time.
void SongSession::search() noexcept {
  if (slice_ == 0) {
    if (time_s() - sound_since_s_ < kSnapshot_s || ring_filled_ < snapshot_.size()) return;
    const auto newest = std::span(ring_).first(ring_filled_).last(snapshot_.size());
    std::copy(newest.begin(), newest.end(), snapshot_.begin());
    snapshot_from_s_ = time_s() - kSnapshot_s;
    spectra_.clear();
    slice_ = 1;
  } else if (slice_ == 1) {
    if (spectra_.advance(snapshot_, kSpectraASlice)) slice_ = 2;
  } else if (slice_ < 2 + 2 * SongSearch::kSpeedSteps + 1) {
    for (int i = 0; i < 3 && slice_ < 3 + 2 * SongSearch::kSpeedSteps; ++i, ++slice_) {
      const double speed = 1.0 + (slice_ - 2 - SongSearch::kSpeedSteps) * SongSearch::kSpeedStep;
      search_.lay(spectra_.words(speed), speed, 0.0, places_);
    }
  } else if (is_trying_) {
    try_place();
  } else {
    choose_place();
  }
}

void SongSession::choose_place() noexcept {
  if (places_.empty()) return begin_search();
  const SongPlace place = places_.front();
  places_.erase(places_.begin());
  std::erase_if(places_, [&](const SongPlace& other) {
    return other.agreement - 0.5 < kNearlyAsLikely * (place.agreement - 0.5);
  });
  const double start_s = place.start_s + SongSearch::start_correction_s(place.speed);
  lock_.begin(time_s(), start_s + place.speed * (time_s() - snapshot_from_s_), place.speed, place.agreement);
  is_trying_ = true;
  tries_ = 0;
}

void SongSession::try_place() noexcept {
  for (int i = 0; i < kWindowsATurn; ++i)
    if (lock_.advance(window_, sound(), ring_from_s_)) {
      is_trying_ = false;
      break;
    }
  if (is_trying_) return;
  const SongLock::Path path = lock_.best_path();
  if (!path.is_believed()) {
    if (path.is_likely() && tries_ < kMostTries) try_again(path);
    return;
  }
  state_ = SongState::following;
  held_at_s_ = time_s();
  followers_[0] = SongFollower(path);
  follower_count_ = 1;
}

// The same place, by what was played since.
void SongSession::try_again(const SongLock::Path& path) noexcept {
  const SongPoint& last = path.points[path.count - 1];
  lock_.begin(time_s(), last.place_s + path.speed * (time_s() - last.tape_s), path.speed, path.agreement);
  is_trying_ = true;
  ++tries_;
}

// What is supposed already is not supposed again; the weakest beside the one that is shown makes room.
void SongSession::suppose(const SongFollower& follower) noexcept {
  for (std::size_t i = 0; i < follower_count_; ++i)
    if (followers_[i].is_same(follower)) return;
  if (follower_count_ < followers_.size()) {
    followers_[follower_count_++] = follower;
    return;
  }
  const auto weakest =
      std::min_element(followers_.begin() + 1, followers_.end(),
                       [](const SongFollower& a, const SongFollower& b) { return a.score() < b.score(); });
  if (weakest->score() < follower.score()) *weakest = follower;
}

void SongSession::follow(bool sounds) noexcept {
  if (!sounds) return;
  const std::size_t known = follower_count_;
  bool is_held = false;
  for (std::size_t i = 0; i < known; ++i) {
    const bool goes_on = followers_[i].carry_on(window_);
    if (i == 0) is_held = goes_on;
    const auto& elsewhere = followers_[i].elsewhere();
    if (elsewhere && i == 0)
      suppose({{window_.middle_s(), elsewhere->place_s, elsewhere->z},
               shown().speed(),
               shown(),
               SongFollower::Birth::beside});
  }
  if (taken_ / kDialSamples % kLookFar == 0) look_far();
  if (is_held && shown().long_score() > kLeastScore && shown().recent_hits() >= kLeastHits) held_at_s_ = time_s();
  if (shown().missed()) look_around();
  settle_followers();
  still_.learn(shown().last(), shown().speed());
}

// The best is shown; what leads nowhere, or where another leads, is let go.
void SongSession::settle_followers() noexcept {
  for (std::size_t i = 1; i < follower_count_; ++i)
    if (followers_[i].is_better_than(followers_[0])) std::swap(followers_[0], followers_[i]);
  std::size_t kept = 1;
  for (std::size_t i = 1; i < follower_count_; ++i) {
    bool is_own = followers_[i].score() > kDeadScore;
    for (std::size_t j = 0; j < kept; ++j) is_own = is_own && !followers_[j].is_same(followers_[i]);
    if (is_own) followers_[kept++] = followers_[i];
  }
  follower_count_ = kept;
}

// The place that was locked on may be beside the right one, by more than is looked at from window to window.
void SongSession::look_far() noexcept {
  const double expected_s = shown().place_at(window_.middle_s());
  for (const SongPeak& peak : window_.peaks(expected_s, shown().speed(), kFar_s)) {
    if (peak.inverted != shown().inverted()) continue;
    if (peak.z > kLeastSupposedZ && std::abs(peak.place_s - expected_s) > kOnTrail_s)
      suppose({{window_.middle_s(), peak.place_s, peak.z}, shown().speed(), shown(), SongFollower::Birth::beside});
    return;
  }
}

// Other speeds since the last point of the one that is shown, a few at each turn.
void SongSession::look_around() noexcept {
  const SongPoint last = shown().last();
  const double since_s = window_.middle_s() - last.tape_s;
  const double speed = shown().speed();
  const bool inverted = shown().inverted();
  SongPeak best;
  double best_speed = speed;
  for (int i = 0; i < kAroundATurn; ++i) {
    around_ = (around_ + 1) % kAround;
    const double other = speed * (1.0 + (around_ % 2 == 0 ? 1 : -1) * (around_ / 2 + 1) * kAroundStep);
    const double expected_s = last.place_s + 0.5 * (speed + other) * since_s;
    const double room_s = kAroundRoom_s + 0.5 * std::abs(other - speed) * (since_s + kHalfWindow_s);
    for (const SongPeak& peak : window_.peaks(expected_s, other, room_s)) {
      if (peak.inverted != inverted || peak.z <= best.z) continue;
      best = peak;
      best_speed = other;
    }
  }
  if (best.z > kLeastSupposedZ)
    suppose({{window_.middle_s(), best.place_s, best.z}, best_speed, shown(), SongFollower::Birth::turned});
}

// Over two seconds a portable's slow wow is a third of what it is over one; a turn of the trimmer is not waited for.
std::optional<SongFollower::Slope> SongSession::steady_slope() noexcept {
  const auto brief = shown().slope_of(config_.dial_window_s, &still_);
  const auto calm = shown().slope_of(kCalmer * config_.dial_window_s, &still_);
  if (!brief || !calm) return brief;
  const double apart = std::abs(brief->speed - calm->speed);
  const bool moves = apart > std::max(kLeastMove, kMoveSigmas * std::sqrt(usual_square_));
  const double kept = moves ? kKeepMoving : kKeepUsual;
  usual_square_ = kept * usual_square_ + (1.0 - kept) * apart * apart;
  if (moves) moved_at_s_ = time_s();
  return time_s() - moved_at_s_ < config_.dial_window_s ? brief : calm;
}

void SongSession::judge() noexcept {
  dial_ = {};
  dial_.time_s = time_s();
  if (state_ != SongState::following) {
    dial_.reasons.add(time_s() - sound_since_s_ < kDial_s ? Reason::too_quiet : Reason::no_tone);
    return;
  }
  dial_.status = Status::unreliable;
  const auto slope = steady_slope();
  if (!slope) return dial_.reasons.add(Reason::too_short);
  dial_.speed_error_percent = 100.0 * (slope->speed - 1.0);
  const auto plain = shown().slope_of(config_.dial_window_s);
  dial_.plain_speed_error_percent = plain ? 100.0 * (plain->speed - 1.0) : *dial_.speed_error_percent;
  dial_.u95_percent = std::max(0.002, 100.0 * slope->u95);
  dial_.trusted_s = shown().span_s();
  if (time_s() - held_at_s_ > 0.3) return dial_.reasons.add(Reason::tape_dropout);
  dial_.status = Status::measured;
}

}  // namespace four76
