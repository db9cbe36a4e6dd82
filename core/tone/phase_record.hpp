// PhaseKnots: the track summed coherently over 10 ms at a time; PhaseRecord: all of them, in constant memory.
//
// A knot is the complex mean of some ten track points: 10 dB more of carrier to noise than a point has, so that its
// phase is in the linear range wherever the loop holds, and a straight line through knots is as good as one through
// points. A segment is a run of knots with unbroken phase; a void knot (lost samples, dropout, burst of noise) has no
// weight. Where the phase jumps although the frequency does not (deleted samples), a new segment begins.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/tone/phase_break.hpp"
#include "core/tone/tone_track.hpp"

namespace four76 {

struct PhaseKnot {
  double time_s = 0.0;        // of the middle
  double span_s = 0.0;        // how much time it stands for
  double phase_cycles = 0.0;  // unwrapped within a segment
  float amplitude = 0.0F;     // coherent mean, linear peak
  float scatter = 0.0F;       // in-phase variance of one point over amplitude squared
  std::uint32_t segment = 0;
  float turn_cycles = 0.0F;  // of a fade that ended here: see FadeTurns
  bool valid = true;
  bool level_valid = true;  // its level can be read, however weak it is
  bool broken = false;      // the points show a break of the phase in this knot or the one before
};

// Sums points to knots.
class KnotBuilder {
 public:
  explicit KnotBuilder(double point_rate_hz);
  void reset() noexcept;
  // True when a knot is complete: read it with knot(), and its points' in-phase parts with in_phase().
  bool add(const TrackPoint& point) noexcept;
  [[nodiscard]] const PhaseKnot& knot() const noexcept { return knot_; }
  [[nodiscard]] std::span<const float> in_phase() const noexcept { return {in_phase_.data(), points_per_knot_}; }
  [[nodiscard]] double knot_s() const noexcept { return knot_s_; }

 private:
  static constexpr std::size_t kMostPoints = 24;
  std::size_t points_per_knot_;
  double knot_s_;
  std::size_t count_ = 0;
  std::array<TrackPoint, kMostPoints> points_{};
  std::array<float, kMostPoints> in_phase_{};
  PhaseKnot knot_;
  PhaseBreak break_;
  bool broken_ = false;
  [[nodiscard]] double unwrap_points() noexcept;
  double last_residual_cycles_ = 0.0, last_unwrapped_cycles_ = 0.0, point_cycles_ = 0.0;
  bool has_last_ = false, was_clear_ = false;
};

// Looks at knots in a row for steps of the phase, four knots to either side.
//
// Straight lines through both sides are carried to the knot between them; their difference J is the step. Wow bends
// both sides alike and cancels. A step of the speed (a turned trimmer) bends the phase without breaking it: a break is
// called one only where it explains the knots much better than a kink at any place would. A break that the points show
// (see PhaseBreak) counts as well, where the speed on both sides is the same.
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

class PhaseRecord {
 public:
  static constexpr std::size_t kCapacity = 4096;
  PhaseRecord();
  void reset() noexcept;
  // When full, neighbours are merged in pairs: the span of a knot doubles, the memory stays.
  void add(const PhaseKnot& knot) noexcept;
  [[nodiscard]] std::span<const PhaseKnot> knots() const noexcept { return {knots_.data(), size_}; }

 private:
  void merge_pairs() noexcept;
  std::vector<PhaseKnot> knots_;
  std::size_t size_ = 0;
  std::size_t merge_ = 1;    // incoming knots to a stored one
  std::size_t pending_ = 0;  // of them in accumulator_
  PhaseKnot accumulator_;
};

}  // namespace four76
