#include "core/tapes/pitch/scale_course.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace four76 {
namespace {

// Tuned: on the true wow of 9 recordings through a portable (correlation of what is followed with it, 0.2 to 3 Hz).
constexpr double kWalk_cents2 = 3.0;         // variance that a frame adds
constexpr double kIntonation_cents2 = 60.0;  // of one partial
constexpr double kWindow_cents = 12.0;
constexpr double kLowest_cents = -663.0;  // 300 Hz: below, a bin is wider than the wow
constexpr int kLeastAge = 2;

constexpr double kLeastDrift_s = 60.0;

constexpr double kTurn_cents = 4.0;       // a frame's step beyond any wow: 0.23 % in 43 ms
constexpr std::size_t kTurnPartials = 6;  // make it together
constexpr double kFirst_s = 5.0, kLately_s = 1.0;

double percent_of(double cents) noexcept { return 100.0 * (std::exp2(cents / 1200.0) - 1.0); }

}  // namespace

ScaleCourse::ScaleCourse() = default;

void ScaleCourse::reset() noexcept { *this = ScaleCourse(); }

// The step that most partials make together, where it is beyond what wow does; else 0.
double ScaleCourse::turn_of(std::span<const Partial> frame) const noexcept {
  std::array<double, 96> steps{};
  std::size_t count = 0;
  for (const Partial& partial : frame)
    if (partial.age > 0 && partial.cents > kLowest_cents && count < steps.size()) steps[count++] = partial.step;
  if (count < kTurnPartials) return 0.0;
  const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(count / 2);
  std::nth_element(steps.begin(), middle, steps.begin() + static_cast<std::ptrdiff_t>(count));
  const double step = *middle;
  if (std::abs(step) < kTurn_cents) return 0.0;
  const auto agree = std::count_if(steps.begin(), steps.begin() + static_cast<std::ptrdiff_t>(count),
                                   [&](double one) { return std::abs(one - step) < 0.5 * std::abs(step); });
  return 3 * agree > 2 * static_cast<std::ptrdiff_t>(count) ? step : 0.0;
}

void ScaleCourse::follow(std::span<const Partial> frame) noexcept {
  variance_ += kWalk_cents2;
  double weight = 0.0, offset = 0.0;
  for (const Partial& partial : frame) {
    if (partial.age < kLeastAge || partial.cents < kLowest_cents) continue;
    const double semitones = std::round((partial.cents - at_) / 100.0);
    const double off = partial.cents - at_ - 100.0 * semitones;
    const double counts = std::exp(-off * off / (2.0 * kWindow_cents * kWindow_cents));
    weight += counts;
    offset += counts * off;
  }
  if (weight < 0.5) return;
  const double gain = variance_ / (variance_ + kIntonation_cents2 / weight);
  at_ += gain * offset / weight;
  variance_ *= 1.0 - gain;
}

void ScaleCourse::add(std::span<const Partial> frame, std::optional<double> centre_cents) noexcept {
  time_s_ += kMovementStep_s;
  if (!begun_) {
    if (!centre_cents) return;
    at_ = *centre_cents;
    variance_ = kIntonation_cents2;
    begun_ = true;
  }
  const double before = at_;
  const double moved = turn_of(frame);
  at_ += moved;
  follow(frame);
  if (moved != 0.0) wow_.reset();
  wow_.add(frame, at_);
  constexpr double kNepersACent = std::numbers::ln2 / 1200.0;
  movement_ = MovementPoint{
      .time_s = time_s_, .step = (at_ - before) * kNepersACent, .step_sigma = std::sqrt(variance_) * kNepersACent};
  if (!frame.empty()) {
    n_ += 1.0;
    t_ += time_s_;
    tt_ += time_s_ * time_s_;
    y_ += at_;
    ty_ += time_s_ * at_;
  }
  if (first_count_ * kMovementStep_s < kFirst_s) {
    first_sum_ += at_;
    first_count_ += 1.0;
    lately_ = at_;
    lately_variance_ = variance_;
  }
  constexpr double kShare = kMovementStep_s / kLately_s;
  lately_ += moved + kShare * (at_ - lately_ - moved);
  lately_variance_ += kShare * (variance_ - lately_variance_);
}

std::optional<double> ScaleCourse::drift_percent_per_minute() const noexcept {
  if (n_ * kMovementStep_s < kLeastDrift_s) return std::nullopt;
  const double spread = tt_ - t_ * t_ / n_;
  return spread > 0.0 ? std::optional(60.0 * percent_of((ty_ - t_ * y_ / n_) / spread)) : std::nullopt;
}

std::optional<ScaleCourse::Lately> ScaleCourse::lately() const noexcept {
  if (first_count_ * kMovementStep_s < kFirst_s) return std::nullopt;
  // The notes of a second are some three independent measurements of the scale (their length; tuned as the walk).
  return Lately{.percent = percent_of(lately_ - first_sum_ / first_count_),
                .u95_percent = percent_of(1.96 * std::sqrt(lately_variance_ + kIntonation_cents2 / 40.0))};
}

}  // namespace four76
