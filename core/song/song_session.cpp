#include "core/song/song_session.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {
namespace {
constexpr double kDial_s = 0.05;
constexpr auto kDialSamples = static_cast<std::uint64_t>(kDial_s * kSongRate_hz);
constexpr double kRing_s = 8.0;
constexpr double kSnapshot_s = 5.0;
constexpr double kNearSnapshot_s = 3.5;  // eleven windows' worth
constexpr int kNearSteps = 2;            // of speed: 1 %
constexpr double kRefound_s = 0.45;      // of few windows one may lie a note's period off: so many more are waited for
constexpr double kHalfWindow_s = 0.5 * PhaseCorrelator::kWindow_s;
constexpr double kSilent = 1e-8;  // mean square: -80 dBFS
constexpr double kLost_s = 1.0;   // without a hold
constexpr double kLookOn_s = 4.0;
constexpr double kNoticed_s = 0.5;  // that a trail is held beyond its end, at least
constexpr std::size_t kSpectraASlice = 40;
constexpr std::size_t kMostPlaces = 9;
constexpr double kNearlyAsLikely = 0.6;  // of the best place's agreement beyond chance
constexpr int kMostTries = 12;           // of one place: four seconds
constexpr int kWindowsATurn = 3;
constexpr double kWorstU95 = 0.01;      // a number that could be 1 % off sets no machine
constexpr std::size_t kTurnsApart = 6;  // the lock's windows
static_assert(kTurnsApart * kDial_s > SongLock::kApart_s - 1e-9 && kTurnsApart * kDial_s < SongLock::kApart_s + 1e-9);
}  // namespace

SongSession::SongSession(const Config& config, std::vector<float> reference)
    : config_(config),
      reference_(std::move(reference)),
      changer_({.sample_rate_hz = config.sample_rate_hz, .channels = config.channels}),
      window_(reference_),
      search_(reference_),
      spectra_(static_cast<std::size_t>(kSnapshot_s * kSongRate_hz)),
      ring_(static_cast<std::size_t>(kRing_s * kSongRate_hz)),
      snapshot_(static_cast<std::size_t>(kSnapshot_s * kSongRate_hz)),
      number_(config.dial_window_s),
      losses_(config.sample_rate_hz),
      jumps_(reference_) {
  places_.reserve(kMostPlaces + 1);
}

void SongSession::reset() noexcept {
  changer_.reset();
  std::fill(ring_.begin(), ring_.end(), 0.0F);
  taken_ = 0;
  dial_count_ = 0;
  state_ = SongState::silent;
  dial_ = {};
  pursuit_.reset();
  number_.reset();
  losses_.reset();
  jumps_.reset();
  sound_since_s_ = 0.0;
  refound_at_s_ = -kRefound_s;
  held_speed_ = 1.0;
  lost_at_s_ = 0.0;
  begin_search();
}

std::optional<double> SongSession::position_s() const noexcept {
  if (state_ != SongState::following) return std::nullopt;
  return pursuit_.shown().place_at(time_s());
}

void SongSession::process(std::span<const float> interleaved) noexcept {
  losses_.hear(interleaved, config_.channels);
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
    if (sounds) follow();
    if (pursuit_.held_at_s() == time_s()) held_speed_ = pursuit_.shown().speed();
    if (time_s() - pursuit_.held_at_s() > kLost_s) {
      state_ = SongState::lost;
      lost_at_s_ = pursuit_.held_at_s() - kNoticed_s;
      begin_search();
      is_near_ = true;
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

void SongSession::follow() noexcept {
  pursuit_.follow(window_, time_s(), losses_.may_have_stepped(time_s()));
  if (const auto& step = pursuit_.step()) losses_.take(*step);
}

void SongSession::finish_turn() noexcept {
  watch_jumps();
  judge();
  ++dial_count_;
}

void SongSession::watch_jumps() noexcept {
  const auto heard = sound().first(ring_filled_ - static_cast<std::size_t>(kHalfWindow_s * kSongRate_hz));
  jumps_.follow(heard.last(kDialSamples), time_s() - kHalfWindow_s,
                state_ == SongState::following ? &pursuit_.shown() : nullptr);
}

// A turn may hide from the follower what it looks for; the search needs five seconds of the new speed.
void SongSession::look_on(bool sounds) noexcept {
  if (state_ != SongState::lost || !pursuit_.is_on()) return;
  const double held_at_s = pursuit_.held_at_s();
  if (!sounds || time_s() - held_at_s > kLost_s + kLookOn_s)  // who stops the tape may wind it
    return pursuit_.give_up();
  follow();
  if (pursuit_.held_at_s() > held_at_s) state_ = SongState::following;
}

void SongSession::begin_search() noexcept {
  slice_ = 0;
  is_trying_ = false;
  is_near_ = false;
  places_.clear();
}

// Slices: the newest sound set aside; its spectra; one speed at a time; the best places tried one at a time.
void SongSession::search() noexcept {
  if (slice_ == 0) {
    set_snapshot();
  } else if (slice_ == 1) {
    if (spectra_.advance(std::span(snapshot_).first(snapshot_filled_), kSpectraASlice)) slice_ = 2;
  } else if (slice_ < 2 + speed_steps()) {
    for (int i = 0; i < 3 && slice_ < 2 + speed_steps(); ++i, ++slice_) {
      const int step = slice_ - 2 - speed_steps() / 2 + middle_step();
      const double speed = 1.0 + step * SongSearch::kSpeedStep;
      search_.lay(spectra_.words(speed), speed, 0.0, places_);
    }
  } else if (is_trying_) {
    try_place();
  } else {
    choose_place();
  }
}

// There is enough for the whole search, which is not to come later than without this one.
bool SongSession::is_near_over() const noexcept {
  return is_near_ && time_s() - std::max(sound_since_s_, lost_at_s_) > kSnapshot_s;
}

int SongSession::speed_steps() const noexcept { return 2 * (is_near_ ? kNearSteps : SongSearch::kSpeedSteps) + 1; }

int SongSession::middle_step() const noexcept {
  return is_near_ ? static_cast<int>(std::lround((held_speed_ - 1.0) / SongSearch::kSpeedStep)) : 0;
}

void SongSession::set_snapshot() noexcept {
  const double span_s = is_near_ ? kNearSnapshot_s : kSnapshot_s;
  const auto count = static_cast<std::size_t>(span_s * kSongRate_hz);
  if (time_s() - std::max(sound_since_s_, is_near_ ? lost_at_s_ : 0.0) < span_s || ring_filled_ < count) return;
  const auto newest = sound().last(count);
  std::copy(newest.begin(), newest.end(), snapshot_.begin());
  snapshot_filled_ = count;
  snapshot_from_s_ = time_s() - span_s;
  spectra_.clear();
  slice_ = 1;
}

void SongSession::choose_place() noexcept {
  if (places_.empty() || is_near_over()) return begin_search();
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
  const auto skipped = static_cast<std::size_t>(
      is_near_ ? std::clamp((lost_at_s_ - ring_from_s_) * kSongRate_hz, 0.0, static_cast<double>(ring_filled_)) : 0.0);
  const double from_s = ring_from_s_ + static_cast<double>(skipped) / kSongRate_hz;
  for (int i = 0; i < kWindowsATurn && is_trying_; ++i)
    is_trying_ = !lock_.advance(window_, sound().subspan(skipped), from_s);
  if (is_trying_) return;
  const SongLock::Path path = lock_.best_path();
  if (!path.is_believed()) {
    if (path.is_likely() && tries_ < kMostTries && !is_near_over()) try_again(path);
    return;
  }
  const SongLikeness likeness = likeness_along(path);
  if (is_near_ && !likeness.is_as_usual(pursuit_.likeness())) return;  // few windows: chance reaches high
  state_ = SongState::following;
  if (is_near_) refound_at_s_ = time_s();
  pursuit_.begin(path, time_s(), likeness);
  held_speed_ = path.speed;
  losses_.begin_trail(time_s());
}

SongLikeness SongSession::likeness_along(const SongLock::Path& path) noexcept {
  SongLikeness likeness;
  for (const SongPoint& point : std::span(path.points).first(path.count)) {
    if (!window_.set_tape(sound(), ring_from_s_, point.tape_s)) continue;
    static_cast<void>(window_.peaks(point.place_s, path.speed, 0.0));
    likeness.hear(window_.tape_spectrum(), window_.reference_spectrum(), kTurnsApart);
  }
  return likeness;
}

// The same place, by what was played since.
void SongSession::try_again(const SongLock::Path& path) noexcept {
  const SongPoint& last = path.points[path.count - 1];
  lock_.begin(time_s(), last.place_s + path.speed * (time_s() - last.tape_s), path.speed, path.agreement);
  is_trying_ = true;
  ++tries_;
}

void SongSession::judge() noexcept {
  dial_ = {};
  dial_.time_s = time_s();
  if (state_ != SongState::following) {
    dial_.reasons.add(time_s() - sound_since_s_ < kDial_s ? Reason::too_quiet : Reason::no_tone);
    return;
  }
  dial_.status = Status::unreliable;
  const bool lost_lately = jumps_.are_seen() || losses_.lost_lately(time_s());
  if (lost_lately) dial_.reasons.add(Reason::capture_gap);
  const SongFollower& shown = pursuit_.shown();
  const auto slope = number_.turn(shown, pursuit_.stillness(), pursuit_.rate(), time_s());
  if (!slope || time_s() - refound_at_s_ < kRefound_s)
    return dial_.reasons.add(lost_lately ? Reason::capture_gap : Reason::too_short);
  dial_.speed_error_percent = 100.0 * (slope->speed - 1.0);
  const auto plain = shown.slope_of(config_.dial_window_s);
  dial_.plain_speed_error_percent = plain ? 100.0 * (plain->speed - 1.0) : *dial_.speed_error_percent;
  dial_.u95_percent = 100.0 * slope->u95;
  dial_.trusted_s = shown.span_s();
  if (time_s() - pursuit_.held_at_s() > 0.3 || pursuit_.is_doubtful())
    return dial_.reasons.add(lost_lately ? Reason::capture_gap : Reason::tape_dropout);
  if (slope->u95 > kWorstU95 || jumps_.are_seen())
    return dial_.reasons.add(lost_lately ? Reason::capture_gap : Reason::too_short);
  dial_.status = Status::measured;
}

}  // namespace four76
