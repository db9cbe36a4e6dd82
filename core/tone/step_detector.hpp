// StepDetector: looks at knots in a row for steps of the phase, four knots to either side. Where the phase jumps
// although the frequency does not (deleted samples), a new segment begins.
//
// Straight lines through both sides are carried to the knot between them; their difference J is the step. Wow bends
// both sides alike and cancels. A step of the speed (a turned trimmer) bends the phase without breaking it: a break is
// called one only where it explains the knots much better than a kink at any place would. A break that the points show
// (see PhaseBreak) counts as well, where the speed on both sides is the same.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>

#include "core/tone/phase_knot.hpp"

namespace four76 {

class StepDetector {
 public:
  static constexpr std::size_t kSide = 4;
  static constexpr std::size_t kSpan = 2 * kSide + 1;
  void reset() noexcept;
  // Takes the newest knot; gives back the knot kSide before it, checked: marked void where the phase steps, with a new
  // segment behind the step. Nothing until enough knots have come.
  std::optional<PhaseKnot> add(const PhaseKnot& knot) noexcept;
  // Whether the knot given back last lies on a step that only lost or inserted samples explain.
  [[nodiscard]] bool stepped() const noexcept { return stepped_; }
  // The knots not given back yet, oldest first: not all of them checked.
  [[nodiscard]] std::span<const PhaseKnot> held_back() const noexcept {
    return {knots_.data() + given_, count_ - given_};
  }

 private:
  [[nodiscard]] bool whole_and_unbroken() const noexcept;
  [[nodiscard]] bool kink_explains() const noexcept;
  [[nodiscard]] bool quiet_beside() const noexcept;
  [[nodiscard]] bool fades_beside() const noexcept;
  void cut() noexcept;
  void judge_middle() noexcept;
  std::array<PhaseKnot, kSpan> knots_{};
  std::size_t count_ = 0;
  std::size_t given_ = 0;  // how many of the leading knots in knots_ were given back
  double mean_square_ = 0.0, usual_log_scatter_ = 0.0;
  std::size_t judged_ = 0, scatters_ = 0;
  std::uint32_t shift_ = 0;  // added to the segments of knots still to come
  bool stepped_ = false;
};

}  // namespace four76
