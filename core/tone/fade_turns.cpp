#include "core/tone/fade_turns.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {

namespace {
constexpr double kLongestFadeS = 0.1;  // wow hides a turn in a longer one
constexpr double kLongestNullS = 0.25;
// Standard deviation of the level's logarithm between the fades: 1.5 dB. A room sways more, a worn tape about 1 dB.
constexpr double kSwayLog = 0.17;
constexpr double kSwayKnots = 400.0;
constexpr std::size_t kEnoughLevels = 100;
// A turn above this is a null of the room, and counts as the half cycle that a null can cost.
constexpr double kNullCycles = 0.15;
constexpr double kNullOfRoomCycles = 0.05;  // where the level sways besides
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

bool FadeTurns::sways() const noexcept { return levels_ >= kEnoughLevels && variance_log_ > kSwayLog * kSwayLog; }

void FadeTurns::watch_level(const PhaseKnot& knot) noexcept {
  const double log_level = std::log(static_cast<double>(knot.amplitude) + 1e-9);
  const double share = std::max(1.0 / kSwayKnots, 1.0 / static_cast<double>(++levels_));
  const double off = log_level - mean_log_;
  mean_log_ += share * off;
  variance_log_ += share * (off * off * (1.0 - share) - variance_log_);
}

double FadeTurns::add(const PhaseKnot& knot, bool faded) noexcept {
  if (faded || !knot.valid) {
    if (fading_ && after_.count > 0) after_.count = 0;  // a fade with a short rise in it
    fading_ = fading_ || before_.count == kSide;
    return 0.0;
  }
  watch_level(knot);
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
  const bool room = sways();
  if (left.segment == right.segment && gap_s < (room ? kLongestNullS : kLongestFadeS)) {
    const double predicted = gap_s * (before_.speed_hz() + after_.speed_hz()) / 2.0;
    turn = std::min(kHalfCycle, std::abs(right.phase_cycles - left.phase_cycles - predicted));
    if (turn > (room ? kNullOfRoomCycles : kNullCycles)) turn = kHalfCycle;
  }
  before_ = after_;
  after_.count = 0;
  fading_ = false;
  return turn;
}

}  // namespace four76
