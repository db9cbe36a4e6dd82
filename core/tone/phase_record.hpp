// PhaseRecord: all knots of a session, in constant memory.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "core/tone/phase_knot.hpp"

namespace four76 {

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
