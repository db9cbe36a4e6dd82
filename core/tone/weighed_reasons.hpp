// WeighedReasons: reasons with what each may cost, listed with the weightiest first.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>

#include "core/reading.hpp"

namespace four76 {

inline constexpr double kDecisive = 100.0;  // more than any cost in percent

class WeighedReasons {
 public:
  // `cost`: by how many percent of speed this may move the reading, roughly; the largest counts.
  void add(Reason reason, double cost) noexcept {
    double& mine = costs_[static_cast<std::size_t>(reason)];
    mine = std::max(mine, cost);
  }
  // This is why the reading is withheld: before all that only cost; a later decision before an earlier one.
  void decide(Reason reason) noexcept { add(reason, kDecisive + static_cast<double>(++decisions_)); }

  [[nodiscard]] bool empty() const noexcept {
    return std::none_of(costs_.begin(), costs_.end(), [](double cost) { return cost > 0.0; });
  }
  [[nodiscard]] ReasonList sorted() const noexcept {
    std::array<double, kReasonCount> left = costs_;
    ReasonList list;
    for (std::size_t i = 0; i < kReasonCount; ++i) {
      const auto largest = std::max_element(left.begin(), left.end());
      if (!(*largest > 0.0)) break;
      list.add(static_cast<Reason>(largest - left.begin()));
      *largest = 0.0;
    }
    return list;
  }

 private:
  std::array<double, kReasonCount> costs_{};
  int decisions_ = 0;
};

}  // namespace four76
