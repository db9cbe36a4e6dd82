// ToneChoice: several tones on one tape: keep the one that was asked for.
//
// The local frequency of each knot (from its neighbours, 20 ms) falls into groups that no speed lies between.
// One group is the common case. Where there are more, a group is another tone if it lies further away than a machine
// moves (4 %) and either beyond 8 % or on another standard tone; the group kept is the one that lasts, weighed against
// its distance from the nominal. Groups closer than that are one tone whose speed was changed.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "core/tone/phase_knot.hpp"
#include "core/tone/phase_record.hpp"

namespace four76 {

class ToneChoice {
 public:
  explicit ToneChoice(std::size_t most_knots = PhaseRecord::kCapacity);
  // Marks as not valid what belongs to another tone, or to none for long enough to know (0.1 s).
  void keep_one(std::span<PhaseKnot> knots, double nominal_hz) noexcept;

 private:
  struct Group {
    double lowest_hz = 0.0, highest_hz = 0.0, total_s = 0.0, weighted_hz = 0.0;
    [[nodiscard]] double mean_hz() const noexcept { return weighted_hz / total_s; }
  };
  void find_local(std::span<PhaseKnot> knots) noexcept;
  [[nodiscard]] std::size_t find_groups(std::span<const PhaseKnot> knots, double nominal_hz,
                                        std::span<Group> groups) noexcept;
  std::vector<double> local_hz_;  // 0 where it is not known
  struct Entry {
    double hz = 0.0, span_s = 0.0;
  };
  std::vector<Entry> sorted_;
};

}  // namespace four76
