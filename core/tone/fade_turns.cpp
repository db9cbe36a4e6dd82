#include "core/tone/fade_turns.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {

namespace {
constexpr double kLongestFadeS = 0.1;
// A turn above this is a null of the room, and counts as the half cycle that a null can cost.
constexpr double kNullCycles = 0.15;
constexpr double kHalfCycle = 0.5;
}  // namespace

void FadeTurns::Side::push(const PhaseKnot& knot) noexcept {
  if (count > 0 && knots[0].segment != knot.segment) count = 0;
  if (count == kSide) {
    std::move(knots.begin() + 1, knots.end(), knots.begin());
    --count;
  }
  knots[count++] = knot;
}

double FadeTurns::Side::speed_hz() const noexcept {
  return (knots[count - 1].phase_cycles - knots[0].phase_cycles) / (knots[count - 1].time_s - knots[0].time_s);
}

double FadeTurns::add(const PhaseKnot& knot, bool faded) noexcept {
  if (faded || !knot.valid) {
    if (fading_ && after_.count > 0) after_.count = 0;  // a fade with a short rise in it
    fading_ = fading_ || before_.count == kSide;
    return 0.0;
  }
  if (!fading_) {
    before_.push(knot);
    return 0.0;
  }
  after_.push(knot);
  if (after_.count < kSide) return 0.0;
  const PhaseKnot& left = before_.knots[kSide - 1];
  const PhaseKnot& right = after_.knots[0];
  const double gap_s = right.time_s - left.time_s;
  double turn = 0.0;
  if (left.segment == right.segment && gap_s < kLongestFadeS) {
    const double predicted = gap_s * (before_.speed_hz() + after_.speed_hz()) / 2.0;
    turn = std::min(kHalfCycle, std::abs(right.phase_cycles - left.phase_cycles - predicted));
    if (turn > kNullCycles) turn = kHalfCycle;
  }
  before_ = after_;
  after_.count = 0;
  fading_ = false;
  return turn;
}

}  // namespace four76
