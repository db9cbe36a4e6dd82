#include "core/tapes/lines/line_scan.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

namespace four76 {

namespace {

constexpr double kTau = 2.0 * std::numbers::pi;
constexpr double kCentre_hz = 15684.0;  // of the range
constexpr double kReach = 0.08;
constexpr double kLowest_hz = kLineScan625_hz * (1.0 - kReach), kHighest_hz = kLineScan525_hz * (1.0 + kReach);
constexpr double kPass_hz = 1315.0;
constexpr double kLeastSampleRate_hz = 36000.0;  // the mirror image of 17 kHz then lies beyond the filter
constexpr double kMaxWait_s = 0.9;               // for the movement; the ring keeps 1.2 s
constexpr double kKept_s = 3.0;                  // of the movement
constexpr std::size_t kJudgeEvery = 24;          // frames: about a second

// Odds, before anything is known of the movement, that a line is on the tape.
constexpr double kOddsAnywhere = 1.0;     // a line off any nominal: a television's on the tape, or any steady tone
constexpr double kOddsAtNominal = 0.03;   // machines that run within 150 ppm are few, televisions in a room are not
constexpr double kNominalReach = 150e-6;  // of a screen: some 100 ppm (crystals: common practice), and our own error
constexpr double kIsRooms = 0.2;  // below this the steady line is taken out ahead of the search for a moving one
constexpr double kJudgedFrames = 60.0;
constexpr double kApart = 0.005;   // of two lines that were never taken for each other: beyond any wow
constexpr double kShare625 = 0.6;  // more of the world watched 625 lines; nothing in the line itself tells

LineFollower::Config follower_at(const std::optional<Baseband>& baseband) {
  const double rate_hz = baseband ? baseband->rate_hz() : 3000.0;
  return {kCentre_hz, rate_hz / static_cast<double>(LineFollower::kBins), kLowest_hz, kHighest_hz};
}

}  // namespace

LineScan::LineScan(const Config& config)
    : config_(config),
      fft_(kFrame),
      rings_(kRoom * static_cast<std::size_t>(config.channels)),
      movement_(kKept_s),
      steady_(LineFollower::Config{}),
      moving_(LineFollower::Config{}) {
  assert((config.channels == 1 || config.channels == 2) && "mono or stereo");
  if (config.sample_rate_hz >= kLeastSampleRate_hz)
    baseband_.emplace(Baseband::Config{config.sample_rate_hz, config.channels, kCentre_hz, kPass_hz, 3000.0});
  steady_ = LineFollower(follower_at(baseband_));
  moving_ = steady_;
  for (std::size_t n = 0; n < kFrame; ++n)
    window_[n] = static_cast<float>(0.5 - 0.5 * std::cos(kTau * (static_cast<double>(n) + 0.5) / kFrame));
}

void LineScan::process(std::span<const float> interleaved) noexcept {
  if (!baseband_) return;
  const auto channels = static_cast<std::size_t>(config_.channels);
  for (std::size_t at = 0; at + channels <= interleaved.size(); at += channels) {
    if (!baseband_->push(interleaved.subspan(at, channels))) continue;
    for (std::size_t c = 0; c < channels; ++c)
      rings_[c * kRoom + baseband_count_ % kRoom] = baseband_->output(static_cast<int>(c));
    ++baseband_count_;
    take_frames();
  }
}

void LineScan::moved(const MovementPoint& point) noexcept {
  movement_.push(point);
  if (baseband_) take_frames();
}

double LineScan::frame_time_s() const noexcept {
  const double middle = static_cast<double>(next_frame_) + 0.5 * static_cast<double>(kFrame - 1);
  return middle / baseband_->rate_hz() - baseband_->delay_s();
}

// Each frame that is complete and whose movement is known, or has been waited for too long.
void LineScan::take_frames() noexcept {
  while (baseband_count_ >= next_frame_ + kFrame) {
    const double half_s = 0.5 * static_cast<double>(kFrame) / baseband_->rate_hz();
    const double now_s = static_cast<double>(baseband_count_) / baseband_->rate_hz();
    const double from_s = frame_time_s() - half_s, to_s = frame_time_s() + half_s;
    const bool known = movement_.covers(from_s - kMovementStep_s, to_s);
    if (!known && now_s - to_s < kMaxWait_s) return;
    take_frame(known);
    next_frame_ += kHop;
  }
}

void LineScan::take_frame(bool movement_known) noexcept {
  const double time_s = frame_time_s(), before_s = time_s - static_cast<double>(kHop) / baseband_->rate_hz();
  const double step = movement_known ? movement_.at(time_s) - movement_.at(before_s) : 0.0;
  const double variance = movement_known ? movement_.variance(before_s, time_s) : 0.0;
  turn_.fill({1.0F, 0.0F});
  double smeared_hz = 0.0;  // how far a line of the room is, once the movement is taken out
  if (movement_known) {
    // The phase that the movement adds across the frame, from its middle.
    const double sample_s = 1.0 / baseband_->rate_hz(), middle = movement_.at(time_s);
    double cycles = 0.0;
    for (std::size_t n = 0; n < kFrame; ++n) {
      const double at_s = time_s + (static_cast<double>(n) - 0.5 * static_cast<double>(kFrame - 1)) * sample_s;
      const double off_hz = kCentre_hz * (movement_.at(at_s) - middle);
      smeared_hz = std::max(smeared_hz, std::abs(off_hz));
      cycles += off_hz * sample_s;
      turn_[n] = std::polar(1.0F, static_cast<float>(-kTau * cycles));
    }
  }
  Bins plain{}, still{};
  for (std::size_t c = 0; c < static_cast<std::size_t>(config_.channels); ++c) {
    const auto ring = std::span<const std::complex<float>>(rings_).subspan(c * kRoom, kRoom);
    add_spectrum(ring, false, plain);
    if (movement_known || steady_is_rooms_) add_spectrum(ring, true, still);
  }
  if (!movement_known && !steady_is_rooms_) still = plain;
  steady_.take({plain, 0.0, step, variance, movement_known, std::nullopt, 0.0});
  const auto not_at = steady_is_rooms_ ? std::optional(steady_.mean_hz()) : std::nullopt;
  moving_.take({still, step, step, variance, movement_known, not_at, smeared_hz});
  if (until_judged_-- == 0) {
    until_judged_ = kJudgeEvery;
    judge();
  }
}

void LineScan::add_spectrum(std::span<const std::complex<float>> ring, bool take_movement_out, Bins& power) noexcept {
  for (std::size_t n = 0; n < kFrame; ++n) frame_[n] = ring[(next_frame_ + n) % kRoom];
  if (take_movement_out) {
    if (steady_is_rooms_) take_room_line_out(frame_);
    for (std::size_t n = 0; n < kFrame; ++n) frame_[n] *= turn_[n];
  }
  for (std::size_t n = 0; n < kFrame; ++n) frame_[n] *= window_[n];
  const auto bins = fft_.transform(frame_);
  for (std::size_t k = 0; k < kFrame; ++k) power[k] += std::norm(bins[(k + kFrame / 2) % kFrame]);
}

// Least squares under the window, at the frequency that the steady line has had on the average. The complex amplitude
// may change linearly: that fits a line that is a little off.
void LineScan::take_room_line_out(std::span<std::complex<float>> frame) const noexcept {
  const double cycles = (steady_.mean_hz() - kCentre_hz) / baseband_->rate_hz();
  const std::complex<float> turn = std::polar(1.0F, static_cast<float>(kTau * cycles));
  const auto place = [](std::size_t n) { return (static_cast<float>(n) + 0.5F) / (0.5F * kFrame) - 1.0F; };
  std::complex<float> level{}, slope{}, at{1.0F, 0.0F};
  float area = 0.0F, moment = 0.0F;
  for (std::size_t n = 0; n < kFrame; ++n, at *= turn) {
    const auto part = window_[n] * frame[n] * std::conj(at);
    level += part;
    slope += place(n) * part;
    area += window_[n];
    moment += window_[n] * place(n) * place(n);
  }
  level /= area;
  slope /= moment;
  at = {1.0F, 0.0F};
  for (std::size_t n = 0; n < kFrame; ++n, at *= turn) frame[n] -= (level + place(n) * slope) * at;
}

double LineScan::room_odds(double hz) const noexcept {
  for (const double nominal_hz : {kLineScan625_hz, kLineScan525_hz})
    if (std::abs(hz / nominal_hz - 1.0) < kNominalReach) return kOddsAtNominal;
  return kOddsAnywhere;
}

void LineScan::judge() noexcept {
  if (steady_.frames() >= kJudgedFrames)
    steady_on_tape_ = probability_of(room_odds(steady_.mean_hz()), steady_.match().log_factor());
  const bool rooms = steady_.frames() >= kJudgedFrames && steady_on_tape_ < kIsRooms;
  // What was followed so far may have been the line that is now taken out. A line well off it goes on.
  const bool apart = moving_.frames() > 0.0 && std::abs(moving_.mean_hz() / steady_.mean_hz() - 1.0) > kApart;
  if (rooms != steady_is_rooms_ && !apart) moving_.reset();
  steady_is_rooms_ = rooms;
  if (moving_.frames() >= kJudgedFrames)
    moving_on_tape_ = probability_of(room_odds(moving_.mean_hz()), moving_.match().log_factor());
}

std::vector<Evidence> LineScan::found() const {
  std::vector<Evidence> all;
  const bool by_moving = moving_.heard();
  if (!by_moving && !steady_.heard()) return all;
  const LineFollower& line = by_moving ? moving_ : steady_;
  const double on_tape = by_moving ? moving_on_tape_ : steady_on_tape_;
  for (const double nominal_hz : {kLineScan625_hz, kLineScan525_hz})
    if (std::abs(line.mean_hz() / nominal_hz - 1.0) <= kReach)
      all.push_back({EvidenceKind::line_scan, nominal_hz, line.mean_hz(), line.u95_percent(), on_tape});
  if (all.size() == 2) {
    all[0].on_tape_probability *= kShare625;
    all[1].on_tape_probability *= 1.0 - kShare625;
  }
  return all;
}

}  // namespace four76
