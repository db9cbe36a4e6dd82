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
constexpr double kLeastZ = 6.0;   // of one window alone, where other speeds are tried
constexpr double kHoldZ = 3.5;    // of a peak where it is expected
// A place is believed where four windows of six over 1.75 s agree about it: by chance each agrees once in 25 times with
// another, and hardly ever is its peak so high (derived).
constexpr std::size_t kWindows = 6;
constexpr std::size_t kEnough = 4;
constexpr double kApart_s = 0.35;
constexpr double kTryReach_s = 0.060;
constexpr double kLeastTryZ = 4.0;
constexpr double kAgree_s = 0.003;      // wow, and a quarter of a percent over a second
constexpr double kNearlyAsHigh = 0.75;  // of the highest peak: the period of a note apart, the nearest is the one
constexpr double kReach_s = 0.010;      // while following
constexpr double kNear_s = 0.0025;      // what wow and half a percent move the delay by between two turns, with room
constexpr double kStepReach_s = 0.060;  // 10 % for half a second, while other speeds are tried
constexpr double kLeastDial_s = 0.35;   // of points before there is a number
constexpr std::size_t kSpectraASlice = 40;
constexpr std::size_t kMostPlaces = 9;
}  // namespace

SongSession::SongSession(const Config& config, std::vector<float> reference)
    : config_(config),
      reference_(std::move(reference)),
      changer_({.sample_rate_hz = config.sample_rate_hz, .channels = config.channels}),
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
  point_count_ = 0;
  sound_since_s_ = 0.0;
  begin_search();
}

std::optional<double> SongSession::position_s() const noexcept {
  if (state_ != SongState::following || point_count_ == 0) return std::nullopt;
  const Point& last = points_[point_count_ - 1];
  return last.place_s + speed_ * (time_s() - last.tape_s);
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
  const bool sounds = correlator_.set_tape(std::span(ring_).first(filled), time_s() - kHalfWindow_s - ring_from_s) &&
                      correlator_.tape_power() > kSilent;
  if (!sounds) sound_since_s_ = time_s();
  if (state_ == SongState::following) {
    follow();
    if (time_s() - held_at_s_ > kLost_s) {
      state_ = SongState::lost;
      point_count_ = 0;
      begin_search();
    }
  } else {
    if (!sounds && state_ != SongState::lost) state_ = SongState::silent;
    if (sounds && state_ == SongState::silent) {
      state_ = SongState::searching;
      begin_search();
    }
    if (sounds) search();
  }
  judge();
  ++dial_count_;
}

void SongSession::begin_search() noexcept {
  slice_ = 0;
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
  } else {
    try_place();
  }
}

void SongSession::try_place() noexcept {
  if (places_.empty()) return begin_search();
  const SongPlace place = places_.front();
  places_.erase(places_.begin());
  const double start_s = place.start_s + SongSearch::start_correction_s(place.speed);
  std::array<Point, kWindows> best{};
  std::array<bool, kWindows> inverted{};
  for (std::size_t i = 0; i < kWindows; ++i) {
    const double middle_s = time_s() - kHalfWindow_s - kApart_s * static_cast<double>(kWindows - 1 - i);
    const double place_s = start_s + place.speed * (middle_s - snapshot_from_s_);
    for (int step = -1; step <= 1; ++step) {
      const auto point = point_at(middle_s, place_s, place.speed * (1.0 + step * 0.002), kTryReach_s, std::nullopt);
      if (!point || point->z <= best[i].z) continue;
      best[i] = *point;
      inverted[i] = found_inverted_;
    }
  }
  const auto agree = [&](std::size_t i, std::size_t j) {
    const double off_s = best[i].place_s - best[j].place_s - place.speed * (best[i].tape_s - best[j].tape_s);
    return best[i].z > kLeastTryZ && std::abs(off_s) < kAgree_s && inverted[i] == inverted[j];
  };
  for (std::size_t j = 0; j < kWindows; ++j) {
    std::size_t count = 0;
    for (std::size_t i = 0; i < kWindows; ++i) count += agree(i, j) ? 1 : 0;
    if (count < kEnough) continue;
    state_ = SongState::following;
    inverted_ = inverted[j];
    held_at_s_ = time_s();
    point_count_ = 0;
    speed_ = place.speed;
    for (std::size_t i = 0; i < kWindows; ++i)
      if (agree(i, j)) add_point(best[i]);
    return;
  }
}

std::optional<SongSession::Point> SongSession::point_at(double middle_s, double place_s, double speed, double reach_s,
                                                        std::optional<bool> inverted) noexcept {
  const double in_ring = std::round((middle_s - ring_from_s_) * kSongRate_hz) / kSongRate_hz;
  if (!correlator_.set_tape(std::span(ring_).first(ring_filled_), in_ring)) return std::nullopt;
  const auto out = correlator_.reference();
  const double middle = (place_s + speed * (in_ring + ring_from_s_ - middle_s)) * kSongRate_hz;
  const auto half = static_cast<double>(out.size() / 2);
  for (std::size_t n = 0; n < out.size(); ++n)
    out[n] = table_.at(reference_, middle + (static_cast<double>(n) - half) * speed);
  std::array<DelayPeak, 2 * PhaseCorrelator::kPeaks> peaks;
  const std::size_t count = correlator_.correlate(reach_s, peaks);
  const DelayPeak* best = nullptr;
  double highest = 0.0;
  for (const DelayPeak& peak : std::span(peaks).first(count)) {
    if (inverted && peak.inverted != *inverted) continue;
    highest = std::max(highest, peak.z);
    if (!best || (inverted && peak.z > kNearlyAsHigh * highest && std::abs(peak.delay_s) < std::abs(best->delay_s)))
      best = &peak;
  }
  if (!best) return std::nullopt;
  found_inverted_ = best->inverted;
  return Point{in_ring + ring_from_s_, middle / kSongRate_hz + speed * best->delay_s, best->z};
}

void SongSession::add_point(const Point& point) noexcept {
  if (point_count_ == points_.size()) {
    std::copy(points_.begin() + 1, points_.end(), points_.begin());
    --point_count_;
  }
  points_[point_count_++] = point;
}

void SongSession::follow() noexcept {
  const double middle_s = time_s() - kHalfWindow_s;
  const Point& last = points_[point_count_ - 1];
  const double expected_s = last.place_s + speed_ * (middle_s - last.tape_s);
  const auto point = point_at(middle_s, expected_s, speed_, kReach_s, inverted_);
  const double room_s = kNear_s + 0.003 * (middle_s - last.tape_s);
  if (point && point->z > kHoldZ && std::abs(point->place_s - expected_s) < room_s) {
    add_point(*point);
    held_at_s_ = time_s();
    if (points_[point_count_ - 1].tape_s - points_[0].tape_s > kLeastDial_s) speed_ = slope_of(0.6).speed;
  } else if (time_s() - held_at_s_ > 0.12) {
    look_around(middle_s);
  }
}

// Other speeds about the place where the tape was, a few at each turn.
void SongSession::look_around(double middle_s) noexcept {
  const Point last = points_[point_count_ - 1];
  Point best;
  double best_speed = speed_;
  for (int i = 0; i < 10; ++i) {
    around_ = (around_ + 1) % 30;
    const double speed = speed_ * (1.0 + (around_ % 2 == 0 ? 1 : -1) * (around_ / 2 + 1) * 0.004);
    const double expected_s = last.place_s + 0.5 * (speed + speed_) * (middle_s - last.tape_s);
    const auto point = point_at(middle_s, expected_s, speed, kStepReach_s, inverted_);
    if (point && point->z > best.z) {
      best = *point;
      best_speed = speed;
    }
  }
  if (best.z < kLeastZ) return;
  point_count_ = 0;
  add_point(best);
  speed_ = best_speed;
  held_at_s_ = time_s();
}

SongSession::Slope SongSession::slope_of(double window_s) const noexcept {
  Slope slope;
  const double from_s = points_[point_count_ - 1].tape_s - window_s;
  double n = 0.0;
  for (std::size_t i = 0; i < point_count_; ++i) {
    if (points_[i].tape_s < from_s) continue;
    n += 1.0;
    slope.middle_s += points_[i].tape_s;
    slope.place_s += points_[i].place_s;
  }
  slope.middle_s /= n;
  slope.place_s /= n;
  double xx = 1e-12;
  double xy = 0.0;
  double yy = 0.0;
  for (std::size_t i = 0; i < point_count_; ++i) {
    if (points_[i].tape_s < from_s) continue;
    const double x = points_[i].tape_s - slope.middle_s;
    const double y = points_[i].place_s - slope.place_s;
    xx += x * x;
    xy += x * y;
    yy += y * y;
  }
  slope.speed = xy / xx;
  // Windows overlap: 0.17 s of tape make one independent point (the half points of Hann's window).
  const double independent = std::max(1.0, n * kDial_s / kHalfWindow_s - 1.0);
  const double variance = std::max(0.0, yy - slope.speed * xy) / n;
  slope.u95 = 1.96 * std::sqrt(variance / (xx / n) / independent);
  return slope;
}

void SongSession::judge() noexcept {
  dial_ = {};
  dial_.time_s = time_s();
  if (state_ != SongState::following) {
    dial_.reasons.add(time_s() - sound_since_s_ < kDial_s ? Reason::too_quiet : Reason::no_tone);
    return;
  }
  dial_.status = Status::unreliable;
  const double span_s = points_[point_count_ - 1].tape_s - points_[0].tape_s;
  if (span_s < kLeastDial_s) return dial_.reasons.add(Reason::too_short);
  const Slope slope = slope_of(config_.dial_window_s);
  dial_.speed_error_percent = 100.0 * (slope.speed - 1.0);
  dial_.plain_speed_error_percent = dial_.speed_error_percent;
  dial_.u95_percent = std::max(0.002, 100.0 * slope.u95);
  dial_.trusted_s = span_s;
  if (time_s() - held_at_s_ > 0.3) return dial_.reasons.add(Reason::tape_dropout);
  dial_.status = Status::measured;
}

}  // namespace four76
