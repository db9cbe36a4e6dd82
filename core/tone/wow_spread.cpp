#include "core/tone/wow_spread.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace four76 {

namespace {
constexpr int kRounds = 60;               // after which nothing moves by more than a hundredth (seen)
constexpr double kLeastVariance = 1e-24;  // cycles squared: far below what single precision carries
}  // namespace

double slope_weight(double n) noexcept {
  return 2.0 / ((2.0 * n + 1.0) * (2.0 * n + 1.0)) * (1.0 / (2.0 * n + 3.0) + 1.0 / (2.0 * n - 1.0));
}

namespace {

// What is left of a density's share in P_1, P_2, ... where it falls off above one turn in the stretch, as
// 1 / (1 + (f T)^2): integrals of (j_n(x) / x)^2 with and without that, x = pi f T (derived, summed from 0 to 120).
constexpr std::array<double, 13> kFallingShare = {0.85578, 0.59555, 0.40948, 0.28768, 0.20883, 0.15673, 0.12122,
                                                  0.09620, 0.07804, 0.06450, 0.05415, 0.04608, 0.03968};

double slow_share(std::size_t order, double total_s) noexcept {
  return total_s / 2.0 * slope_weight(static_cast<double>(order));
}

// The kinds of wow, and what unit variance of each puts into the square of the projection on P_order.
using Kinds = std::array<double, 3>;
Kinds shares_of(std::size_t order, double total_s) noexcept {
  const double slow = slow_share(order, total_s);
  return {slow, slow * kFallingShare[std::min(order, kFallingShare.size()) - 1], 1.0};
}

}  // namespace

double wow_slope_sigma_hz(std::span<const double> b, std::span<const double> noise, double total_s) noexcept {
  constexpr std::size_t kFirst = 2;  // order of b's first
  Kinds variance{};
  for (std::size_t j = 0; j < b.size(); ++j) {
    const Kinds share = shares_of(kFirst + j, total_s);
    for (std::size_t k = 0; k < variance.size(); ++k)
      variance[k] += 1e-30 + b[j] * b[j] / share[k] / static_cast<double>(b.size());
  }
  // Each round lowers the negative logarithm of the likelihood (majorization; multiplicative, so all stay positive).
  for (int round = 0; round < kRounds; ++round) {
    Kinds seen{};
    Kinds said{};
    for (std::size_t j = 0; j < b.size(); ++j) {
      const Kinds share = shares_of(kFirst + j, total_s);
      double expected = noise[j] + kLeastVariance;
      for (std::size_t k = 0; k < share.size(); ++k) expected += variance[k] * share[k];
      for (std::size_t k = 0; k < share.size(); ++k) {
        seen[k] += share[k] * b[j] * b[j] / (expected * expected);
        said[k] += share[k] / expected;
      }
    }
    for (std::size_t k = 0; k < variance.size(); ++k) variance[k] *= std::sqrt(seen[k] / said[k]);
  }
  const Kinds of_slope = shares_of(1, total_s);
  double square = 0.0;
  for (std::size_t k = 0; k < variance.size(); ++k) square += variance[k] * of_slope[k];
  return 3.0 / total_s * std::sqrt(square);
}

}  // namespace four76
