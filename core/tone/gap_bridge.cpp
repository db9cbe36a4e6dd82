#include "core/tone/gap_bridge.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {

namespace {
constexpr double kLongestGapS = 0.15;
constexpr double kMemoryKnots = 200.0;
constexpr std::size_t kEnoughSpeeds = 10;
// Of wow's RMS deviation, what linear interpolation over 50 ms leaves unexplained (derived: a capstan's 8 Hz, curvature
// (2 pi 8 Hz)^2 (50 ms)^2 / 12 = 0.53).
constexpr double kUnexplained = 0.5;
constexpr double kUnexplainedAtS = 0.05;
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

double GapBridge::speed_before_hz() const noexcept {
  const PhaseKnot& first = before_[0];
  const PhaseKnot& last = before_[before_count_ - 1];
  return (last.phase_cycles - first.phase_cycles) / (last.time_s - first.time_s);
}

void GapBridge::remember(const PhaseKnot& knot) noexcept {
  if (before_count_ == kSide) {
    std::move(before_.begin() + 1, before_.end(), before_.begin());
    --before_count_;
  }
  before_[before_count_++] = knot;
  if (before_count_ < kSide) return;
  const double off_hz = speed_before_hz() - mean_hz_;
  const double share = std::max(1.0 / kMemoryKnots, 1.0 / static_cast<double>(++speeds_));
  mean_hz_ += share * off_hz;
  variance_hz2_ += share * (off_hz * off_hz * (1.0 - share) - variance_hz2_);
}

void GapBridge::land() noexcept {
  bool bridged = false;
  const double gap_s = before_count_ > 1 ? held_[0].time_s - before_[before_count_ - 1].time_s : 0.0;
  if (!must_break_ && before_count_ > 1 && gap_s < kLongestGapS && speeds_ >= kEnoughSpeeds) {
    const double after_hz =
        (held_[kLanding - 1].phase_cycles - held_[0].phase_cycles) / (held_[kLanding - 1].time_s - held_[0].time_s);
    // The landing is shorter and noisier than what came before; a wild one says nothing.
    const double usual_hz = std::sqrt(variance_hz2_);
    const double before_hz = speed_before_hz();
    const double between_hz = std::clamp(after_hz, before_hz - 2.0 * usual_hz, before_hz + 2.0 * usual_hz);
    const double predicted = gap_s * (before_hz + between_hz) / 2.0;
    const double seen = held_[0].phase_cycles - before_[before_count_ - 1].phase_cycles;
    const double whole = std::round(predicted - seen);
    const double sigma =
        std::hypot(kLeastSigmaCycles, gap_s * usual_hz * kUnexplained * std::min(2.0, gap_s / kUnexplainedAtS));
    const bool fits = std::abs(seen + whole - predicted) < std::max(kSureSigmas * sigma, kFitsCycles);
    bridged = kSureSigmas * sigma < kHalfCycle && fits;
    if (bridged) {
      shift_cycles_ += whole;
      for (PhaseKnot& knot : held_) knot.phase_cycles += whole;
    }
  }
  if (!bridged) {
    ++segment_;
    before_count_ = 0;
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
  before_count_ = speeds_ = 0;
  mean_hz_ = variance_hz2_ = 0.0;
  must_break_ = false;
  state_ = State::running;
  return {given_.data(), given_count_};
}

}  // namespace four76
