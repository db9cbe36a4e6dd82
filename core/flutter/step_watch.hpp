// StepWatch: whether the mean of what is given moves, seen from both sides.
//
// At each point: the difference between the mean of the 0.3 s after it and that of the 0.3 s before it, against what
// that difference usually is (root mean square over some seconds). A turn of the screw stands out of it from 0.3 s
// before to 0.3 s after. Slow wow does not: it is what the usual difference is made of.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

namespace four76 {

class StepWatch {
 public:
  static constexpr std::size_t kSide = 15;          // points
  static constexpr std::size_t kDelay = kSide + 1;  // what is judged is so many points old
  static constexpr double kLeastPercent = 0.02;     // a smaller step does no harm
  static constexpr double kSigmas = 3.5;

  void reset() noexcept {
    count_ = 0;
    usual_square_ = 0.0;
    usual_weight_ = 0.0;
  }
  // A point comes; judges the one kDelay before it. True where the mean moves there.
  bool add(double percent) noexcept {
    ring_[count_++ % ring_.size()] = percent;
    difference_ = 0.0;
    if (count_ < ring_.size()) return false;
    double before = 0.0;
    double after = 0.0;
    for (std::size_t i = 0; i < kSide; ++i) {
      before += ring_[(count_ + i) % ring_.size()];
      after += ring_[(count_ + kSide + 1 + i) % ring_.size()];
    }
    difference_ = (after - before) / static_cast<double>(kSide);
    const double usual = usual_weight_ > 0.0 ? std::sqrt(usual_square_ / usual_weight_) : 0.0;
    const bool settled = usual_weight_ > kEnough;
    const bool moves = settled && std::abs(difference_) > std::max(kLeastPercent, kSigmas * usual);
    const double keep = moves ? kKeepMoving : kKeep;
    usual_square_ = keep * usual_square_ + (1.0 - keep) * difference_ * difference_;
    usual_weight_ = keep * usual_weight_ + (1.0 - keep);
    return moves;
  }
  // Of the judged point: after less before, percent.
  [[nodiscard]] double difference_percent() const noexcept { return difference_; }

 private:
  static constexpr double kKeep = 0.993;         // 3 s of 50 points a second
  static constexpr double kKeepMoving = 0.9995;  // else a step would be the usual at once
  static constexpr double kEnough = 0.4;         // 1.5 s
  std::array<double, 2 * kSide + 1> ring_{};
  std::size_t count_ = 0;
  double difference_ = 0.0, usual_square_ = 0.0, usual_weight_ = 0.0;
};

}  // namespace four76
