#include "core/tone/wow_spread.hpp"

#include <algorithm>
#include <cmath>

namespace four76 {

namespace {
constexpr int kRounds = 60;               // after which nothing moves by more than a hundredth (seen)
constexpr double kLeastVariance = 1e-24;  // cycles squared: far below what single precision carries
}  // namespace

double slope_weight(double n) noexcept {
  return 2.0 / ((2.0 * n + 1.0) * (2.0 * n + 1.0)) * (1.0 / (2.0 * n + 3.0) + 1.0 / (2.0 * n - 1.0));
}

double wow_slope_sigma_hz(std::span<const double> b, std::span<const double> noise, double total_s) noexcept {
  const auto slow_share = [&](std::size_t j) { return total_s / 2.0 * slope_weight(static_cast<double>(j) + 2.0); };
  double density = 1e-30;
  double leak = 1e-30;
  const auto count = static_cast<double>(b.size());
  for (std::size_t j = 0; j < b.size(); ++j) {
    density += b[j] * b[j] / slow_share(j) / count;
    leak += b[j] * b[j] / count;
  }
  // Each round lowers the negative logarithm of the likelihood (majorization; multiplicative, so both stay positive).
  for (int round = 0; round < kRounds; ++round) {
    double density_seen = 0.0, density_said = 0.0, leak_seen = 0.0, leak_said = 0.0;
    for (std::size_t j = 0; j < b.size(); ++j) {
      const double share = slow_share(j);
      const double variance = noise[j] + density * share + leak + kLeastVariance;
      const double ratio = b[j] * b[j] / variance;
      density_seen += share * ratio / variance;
      density_said += share / variance;
      leak_seen += ratio / variance;
      leak_said += 1.0 / variance;
    }
    density *= std::sqrt(density_seen / density_said);
    leak *= std::sqrt(leak_seen / leak_said);
  }
  return 3.0 / total_s * std::sqrt(density * total_s / 2.0 * slope_weight(1.0) + leak);
}

}  // namespace four76
