#include "core/tone/fade_turns.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {

namespace {
constexpr double kLongestFadeS = 0.1;  // wow hides a turn in a longer one
constexpr double kLongestNullS = 0.25;
// Mean absolute deviation of the level's logarithm between the fades: 1.2 dB. A room sways more, a worn tape less than
// 1 dB; a gate has two levels and sways only on its edges.
constexpr double kSwayLog = 0.14;
constexpr double kSwayKnots = 400.0;
constexpr std::size_t kEnoughLevels = 100;
// A turn above this is a null of the room, and counts as the half cycle that a null can cost.
constexpr double kNullCycles = 0.15;
constexpr double kNullOfRoomCycles = 0.05;  // where the level sways besides
constexpr double kHalfCycle = 0.5;
// Of wow's deviation, what a mean of the speeds on both sides leaves unexplained: see GapBridge.
constexpr double kUnexplained = 0.5;
constexpr double kUnexplainedAtS = 0.05;
constexpr double kWowSigmas = 1.5;
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

bool FadeTurns::sways() const noexcept { return levels_ >= kEnoughLevels && deviation_log_ > kSwayLog; }

void FadeTurns::watch_level(const PhaseKnot& knot) noexcept {
  const double log_level = std::log(static_cast<double>(knot.amplitude) + 1e-9);
  const double share = std::max(1.0 / kSwayKnots, 1.0 / static_cast<double>(++levels_));
  const double off = log_level - mean_log_;
  mean_log_ += share * off;
  deviation_log_ += share * (std::abs(off) - deviation_log_);
}

void FadeTurns::watch_speed() noexcept {
  if (before_.count < kSide) return;
  const double share = std::max(1.0 / kSwayKnots, 1.0 / static_cast<double>(++speeds_));
  const double off_hz = before_.speed_hz() - mean_hz_;
  mean_hz_ += share * off_hz;
  variance_hz2_ += share * (off_hz * off_hz * (1.0 - share) - variance_hz2_);
}

double FadeTurns::turn_of(double gap_s) const noexcept {
  const PhaseKnot& left = before_.knots[kSide - 1];
  const PhaseKnot& right = after_.knots[0];
  const bool room = sways();
  if (left.segment != right.segment || gap_s > (room ? kLongestNullS : kLongestFadeS)) return 0.0;
  const double predicted = gap_s * (before_.speed_hz() + after_.speed_hz()) / 2.0;
  const double turn = std::min(kHalfCycle, std::abs(right.phase_cycles - left.phase_cycles - predicted));
  // Wow bends the speed within a fade; in a room it is the room that bends it.
  const double wow =
      kWowSigmas * kUnexplained * std::sqrt(variance_hz2_) * gap_s * std::min(2.0, gap_s / kUnexplainedAtS);
  const double null = room ? kNullOfRoomCycles : kNullCycles + wow;
  return turn > null ? kHalfCycle : turn;
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
    watch_speed();
    return 0.0;
  }
  after_.push(knot);
  if (after_.count < kSide) return 0.0;
  const double turn = turn_of(after_.knots[0].time_s - before_.knots[kSide - 1].time_s);
  before_ = after_;
  after_.count = 0;
  fading_ = false;
  return turn;
}

}  // namespace four76
