#include "core/tone/live_dial.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {

namespace {
constexpr double kUnseenWow = 0.002;
constexpr double kCoverage = 2.0;  // two sigma
}  // namespace

double LiveDial::scatter_hz() const noexcept {
  double mean = 0.0;
  for (std::size_t i = 0; i < count_; ++i) mean += frequency_hz_[i] / static_cast<double>(count_);
  double square = 0.0;
  for (std::size_t i = 0; i < count_; ++i) square += (frequency_hz_[i] - mean) * (frequency_hz_[i] - mean);
  return std::sqrt(square / std::max(1.0, static_cast<double>(count_) - 1.0));
}

double LiveDial::u95_hz(const MeanSpeed& fit, double nominal_hz) noexcept {
  frequency_hz_[next_] = fit.frequency_hz;
  next_ = (next_ + 1) % kHistory;
  count_ = std::min(count_ + 1, kHistory);
  const double unseen = kUnseenWow * nominal_hz * (1.0 - static_cast<double>(count_) / kHistory);
  const double wow_hz = std::max(fit.wow_u95_hz, kCoverage * scatter_hz());
  return std::hypot(fit.noise_u95_hz, wow_hz, unseen);
}

}  // namespace four76
