// GapBridge: carries the phase across short stretches where the tone could not be read.
//
// A dropout, a burst of noise or a null of the room voids some knots; the tone goes on underneath. Between the phases
// before and after lie so many whole cycles as the speed says: the mean of the speeds on both sides, times the gap. As
// long as wow and noise leave that prediction sure to a fraction of a cycle, the phase is carried across and the gap
// costs nothing; else, and where samples were lost, a new segment begins. To leave such stretches out instead would
// bend the mean: in a live room the speed seems high or low just where the level falls.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>

#include "core/signal/running_deviation.hpp"
#include "core/tone/knot_side.hpp"
#include "core/tone/phase_knot.hpp"

namespace four76 {

class GapBridge {
 public:
  void reset() noexcept;
  // Takes the newest knot, its segment not set; `samples_lost` where its time is not to be trusted. Gives back the
  // knots that are decided, oldest first, with their segments; they lie in the bridge's own memory until the next call.
  std::span<const PhaseKnot> add(const PhaseKnot& incoming, bool samples_lost) noexcept;
  // The tone is lost: gives back what is held, and begins a new segment.
  std::span<const PhaseKnot> end() noexcept;

 private:
  enum class State { running, gap, landing };
  static constexpr std::size_t kSide = 4;        // knots for the speed before
  static constexpr std::size_t kLanding = 2;     // and after the gap
  static constexpr double kMemoryKnots = 200.0;  // of the local speed: some two seconds
  void give(PhaseKnot knot) noexcept;
  void give_held(bool valid) noexcept;
  void remember(const PhaseKnot& knot) noexcept;
  void land() noexcept;

  State state_ = State::running;
  std::uint32_t segment_ = 1;
  double shift_cycles_ = 0.0;
  bool must_break_ = false;
  KnotSide<kSide> before_;
  std::array<PhaseKnot, kLanding> held_{};
  std::size_t held_count_ = 0;
  std::array<PhaseKnot, kLanding + 1> given_{};
  std::size_t given_count_ = 0;
  RunningDeviation speed_hz_{kMemoryKnots};  // the local speed
};

}  // namespace four76
