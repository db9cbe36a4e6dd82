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
constexpr std::size_t kEnoughLevels = 100;
// A turn above this is a null of the room, and counts as the half cycle that a null can cost.
constexpr double kNullCycles = 0.15;
constexpr double kNullOfRoomCycles = 0.05;  // where the level sways besides
constexpr double kHalfCycle = 0.5;
constexpr double kWowSigmas = 1.5;
}  // namespace

bool FadeTurns::sways() const noexcept { return levels_ >= kEnoughLevels && deviation_log_ > kSwayLog; }

void FadeTurns::watch_level(const PhaseKnot& knot) noexcept {
  const double log_level = std::log(static_cast<double>(knot.amplitude) + 1e-9);
  const double share = std::max(1.0 / kMemoryKnots, 1.0 / static_cast<double>(++levels_));
  const double off = log_level - mean_log_;
  mean_log_ += share * off;
  deviation_log_ += share * (std::abs(off) - deviation_log_);
}

double FadeTurns::turn_of(double gap_s) const noexcept {
  const PhaseKnot& left = before_.newest();
  const PhaseKnot& right = after_.oldest();
  const bool room = sways();
  if (left.segment != right.segment || gap_s > (room ? kLongestNullS : kLongestFadeS)) return 0.0;
  const double predicted = gap_s * (before_.speed_hz() + after_.speed_hz()) / 2.0;
  const double turn = std::min(kHalfCycle, std::abs(right.phase_cycles - left.phase_cycles - predicted));
  // Wow bends the speed within a fade; in a room it is the room that bends it.
  const double wow = kWowSigmas * unexplained_cycles(gap_s, speed_hz_.deviation());
  const double null = room ? kNullOfRoomCycles : kNullCycles + wow;
  return turn > null ? kHalfCycle : turn;
}

double FadeTurns::add(const PhaseKnot& knot, bool faded) noexcept {
  if (faded || !knot.valid) {
    if (fading_) after_.clear();  // a fade with a short rise in it
    fading_ = fading_ || before_.full();
    return 0.0;
  }
  watch_level(knot);
  if (!fading_) {
    before_.push(knot);
    if (before_.full()) speed_hz_.add(before_.speed_hz());
    return 0.0;
  }
  after_.push(knot);
  if (!after_.full()) return 0.0;
  const double turn = turn_of(after_.oldest().time_s - before_.newest().time_s);
  before_ = after_;
  after_.clear();
  fading_ = false;
  return turn;
}

}  // namespace four76
