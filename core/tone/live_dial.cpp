#include "core/tone/live_dial.hpp"

#include <algorithm>
#include <cmath>

#include "core/signal/statistics.hpp"

namespace four76 {

namespace {
constexpr double kUnseenWow = 0.002;
constexpr std::size_t kWindowReadings = 7;  // 0.35 s
constexpr double kLeastIndependent = 3.0;
constexpr double kMostAlike = 0.7;
constexpr std::size_t kEnoughHistory = 30;  // 1.5 s
constexpr double kSeenReadings = 60.0;      // 3 s
constexpr double kSomethingElse = 5.0;
constexpr std::size_t kStepReadings = 9;  // the window and two more: the newest seven hold the new speed alone
constexpr double kStepSigmas = 3.0;
constexpr double kLeastStep = 0.0003;
}  // namespace

LiveDial::Scatter LiveDial::scatter(std::size_t newest_left_out) const noexcept {
  const std::size_t used = count_ - newest_left_out;
  Scatter result;
  for (std::size_t i = newest_left_out; i < count_; ++i) result.mean_hz += reading(i) / static_cast<double>(used);
  for (std::size_t i = newest_left_out; i < count_; ++i)
    result.sigma_hz += (reading(i) - result.mean_hz) * (reading(i) - result.mean_hz);
  result.sigma_hz = std::sqrt(result.sigma_hz / std::max(1.0, static_cast<double>(used) - 1.0));
  return result;
}

double LiveDial::independent_readings(const Scatter& all) const noexcept {
  const double windows = static_cast<double>(count_) / static_cast<double>(kWindowReadings);
  if (count_ <= 2 * kWindowReadings || !(all.sigma_hz > 0.0)) return kLeastIndependent;
  double alike = 0.0;
  for (std::size_t age = 0; age + kWindowReadings < count_; ++age)
    alike += (reading(age) - all.mean_hz) * (reading(age + kWindowReadings) - all.mean_hz);
  alike /= static_cast<double>(count_ - kWindowReadings) * all.sigma_hz * all.sigma_hz;
  const double r = std::clamp(alike, 0.0, kMostAlike);
  return std::max(kLeastIndependent, windows * (1.0 - r) / (1.0 + r));
}

// A turn of the screw: the newest readings all lie on one side, well out of the scatter of those before. What came
// before says nothing about the new speed's mean, and is forgotten.
void LiveDial::forget_before_a_step(double nominal_hz) noexcept {
  if (count_ < 2 * kStepReadings) return;
  const Scatter before = scatter(kStepReadings);
  const double limit = kStepSigmas * before.sigma_hz + kLeastStep * nominal_hz;
  std::size_t above = 0;
  std::size_t below = 0;
  for (std::size_t age = 0; age + 2 < kStepReadings; ++age) {
    const double off = reading(age) - before.mean_hz;
    above += off > limit;
    below += off < -limit;
  }
  if (above + 2 == kStepReadings || below + 2 == kStepReadings) count_ = 1;
}

double LiveDial::u95_hz(const MeanSpeed& fit, double nominal_hz) noexcept {
  frequency_hz_[next_] = fit.frequency_hz;
  next_ = (next_ + 1) % kHistory;
  count_ = std::min(count_ + 1, kHistory);
  forget_before_a_step(nominal_hz);
  const double unseen = kUnseenWow * nominal_hz * std::max(0.0, 1.0 - static_cast<double>(count_) / kSeenReadings);
  const Scatter all = scatter(0);
  // The scatter is about the readings' own mean, which goes with them: of n independent ones it has lost 1 / n.
  const double independent = independent_readings(all);
  const double seen_hz = student_t95(independent - 1.0) * all.sigma_hz * std::sqrt(independent / (independent - 1.0));
  // The window's own estimate rests on two numbers and jumps about: once there is history it counts only where it says
  // that something else is going on, as within a turn of the screw.
  const bool history_holds = count_ >= kEnoughHistory && fit.wow_u95_hz < kSomethingElse * seen_hz;
  const double wow_hz = history_holds ? seen_hz : std::max(fit.wow_u95_hz, seen_hz);
  return std::hypot(fit.noise_u95_hz, wow_hz, unseen);
}

}  // namespace four76
