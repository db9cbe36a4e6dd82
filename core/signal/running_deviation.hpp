// RunningDeviation: mean and standard deviation of a stream of values. The past fades over the newest `memory` values;
// until that many have come, all count alike.
//
//   share = max(1 / memory, 1 / n),  mean += share (x - mean),  variance += share ((x - mean)^2 (1 - share) - variance)
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace four76 {

class RunningDeviation {
 public:
  explicit RunningDeviation(double memory) noexcept : least_share_(1.0 / memory) {}
  void reset() noexcept {
    mean_ = variance_ = 0.0;
    count_ = 0;
  }
  void add(double value) noexcept {
    const double share = std::max(least_share_, 1.0 / static_cast<double>(++count_));
    const double off = value - mean_;
    mean_ += share * off;
    variance_ += share * (off * off * (1.0 - share) - variance_);
  }
  [[nodiscard]] std::size_t count() const noexcept { return count_; }
  [[nodiscard]] double deviation() const noexcept { return std::sqrt(variance_); }

 private:
  double least_share_;
  double mean_ = 0.0, variance_ = 0.0;
  std::size_t count_ = 0;
};

}  // namespace four76
