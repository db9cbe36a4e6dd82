#include "core/tone/phase_break.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "core/signal/statistics.hpp"

namespace four76 {

namespace {
constexpr double kLeastCycles = 0.04;  // moves a 10 s mean by less than 0.0002 % of 3000 Hz
constexpr double kOverUsual = 6.0;
constexpr std::size_t kLearn = 100;  // points before anything is called a break
constexpr double kForget = 0.0005;   // two seconds of points
}  // namespace

PhaseBreak::PhaseBreak() noexcept {
  // Residual of the step (one half to either side) after the line through it, scaled to read the step's height.
  double tt = 0.0;
  double st = 0.0;
  for (std::size_t k = kSkip + 1; k <= kReach; ++k) {
    const auto t = static_cast<double>(k);
    tt += 2.0 * t * t;
    st += t;  // twice, times one half
  }
  double norm = 0.0;
  for (std::size_t i = 0; i < kSize; ++i) {
    const double t = static_cast<double>(i) - static_cast<double>(kReach);
    if (std::abs(t) <= static_cast<double>(kSkip)) continue;
    const double step = t > 0.0 ? 0.5 : -0.5;
    kernel_[i] = step - st / tt * t;
    norm += step * kernel_[i];
  }
  for (double& k : kernel_) k /= norm;
}

void PhaseBreak::reset() noexcept {
  next_ = count_ = judged_ = hold_ = 0;
  phase_ = last_predicted_ = last_residual_ = mean_square_ = before_ = now_ = 0.0;
}

double PhaseBreak::step_cycles() const noexcept {
  const double origin = phases_[next_];  // keeps the products small
  double sum = 0.0;
  for (std::size_t i = 0; i < kSize; ++i) sum += kernel_[i] * (phases_[(next_ + i) % kSize] - origin);
  return sum;
}

bool PhaseBreak::add(const TrackPoint& point) noexcept {
  const double residual = std::arg(std::complex<double>(point.residual)) / (2.0 * std::numbers::pi);
  if (count_ > 0) phase_ += (point.predicted_cycles - last_predicted_) + wrap_cycles(residual - last_residual_);
  last_predicted_ = point.predicted_cycles;
  last_residual_ = residual;
  phases_[next_] = phase_;
  next_ = (next_ + 1) % kSize;
  if (++count_ < kSize) return false;

  const double newest = std::abs(step_cycles());
  const double middle = now_;
  const bool peak = middle >= before_ && middle > newest;
  before_ = now_;
  now_ = newest;
  ++judged_;
  const double limit = std::max(kLeastCycles, kOverUsual * std::sqrt(mean_square_));
  if (judged_ > kLearn && newest > limit) {
    // What may be a break does not teach what is usual.
  } else {
    mean_square_ += std::max(kForget, 1.0 / static_cast<double>(judged_)) * (newest * newest - mean_square_);
  }
  if (hold_ > 0) {
    --hold_;
    return false;
  }
  if (judged_ <= kLearn || !peak || middle <= limit) return false;
  hold_ = kSize;
  return true;
}

}  // namespace four76
