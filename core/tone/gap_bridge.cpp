#include "core/tone/gap_bridge.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {

namespace {
constexpr double kLongestGapS = 0.15;
constexpr std::size_t kEnoughSpeeds = 10;
constexpr double kSureSigmas = 3.0;
constexpr double kFitsCycles = 0.25;  // what is left over; more, and samples were lost in the gap
constexpr double kHalfCycle = 0.5;
constexpr double kLeastSigmaCycles = 0.02;
}  // namespace

void GapBridge::reset() noexcept { *this = GapBridge(); }

void GapBridge::give(PhaseKnot knot) noexcept {
  knot.segment = segment_;
  given_[given_count_++] = knot;
}

void GapBridge::give_held(bool valid) noexcept {
  for (std::size_t i = 0; i < held_count_; ++i) {
    held_[i].valid = valid;
    give(held_[i]);
  }
  held_count_ = 0;
}

void GapBridge::remember(const PhaseKnot& knot) noexcept {
  before_.push(knot);
  if (before_.full()) speed_hz_.add(before_.speed_hz());
}

void GapBridge::land() noexcept {
  bool bridged = false;
  const double gap_s = before_.has_speed() ? held_[0].time_s - before_.newest().time_s : 0.0;
  if (!must_break_ && before_.has_speed() && gap_s < kLongestGapS && speed_hz_.count() >= kEnoughSpeeds) {
    const double after_hz =
        (held_[kLanding - 1].phase_cycles - held_[0].phase_cycles) / (held_[kLanding - 1].time_s - held_[0].time_s);
    // The landing is shorter and noisier than what came before; a wild one says nothing.
    const double usual_hz = speed_hz_.deviation();
    const double before_hz = before_.speed_hz();
    const double between_hz = std::clamp(after_hz, before_hz - 2.0 * usual_hz, before_hz + 2.0 * usual_hz);
    const double predicted = gap_s * (before_hz + between_hz) / 2.0;
    const double seen = held_[0].phase_cycles - before_.newest().phase_cycles;
    const double whole = std::round(predicted - seen);
    const double sigma = std::hypot(kLeastSigmaCycles, unexplained_cycles(gap_s, usual_hz));
    const bool fits = std::abs(seen + whole - predicted) < std::max(kSureSigmas * sigma, kFitsCycles);
    bridged = kSureSigmas * sigma < kHalfCycle && fits;
    if (bridged) {
      shift_cycles_ += whole;
      for (PhaseKnot& knot : held_) knot.phase_cycles += whole;
    }
  }
  if (!bridged) {
    ++segment_;
    before_.clear();
  }
  must_break_ = false;
  for (const PhaseKnot& knot : held_) remember(knot);
  give_held(true);
}

std::span<const PhaseKnot> GapBridge::add(const PhaseKnot& incoming, bool samples_lost) noexcept {
  given_count_ = 0;
  PhaseKnot knot = incoming;
  knot.phase_cycles += shift_cycles_;
  must_break_ = must_break_ || samples_lost;
  if (!knot.valid) {
    give_held(false);  // too few to land on
    give(knot);
    state_ = State::gap;
  } else if (state_ == State::running) {
    remember(knot);
    give(knot);
  } else {
    state_ = State::landing;
    held_[held_count_++] = knot;
    if (held_count_ == kLanding) {
      land();
      state_ = State::running;
    }
  }
  return {given_.data(), given_count_};
}

std::span<const PhaseKnot> GapBridge::end() noexcept {
  given_count_ = 0;
  give_held(false);
  ++segment_;
  before_.clear();
  speed_hz_.reset();
  must_break_ = false;
  state_ = State::running;
  return {given_.data(), given_count_};
}

}  // namespace four76
