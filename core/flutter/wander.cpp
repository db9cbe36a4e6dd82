#include "core/flutter/wander.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace four76 {

namespace {

constexpr std::size_t kStrengths = 40;
constexpr double kLeastOfNoise = 0.1, kMostOfParts = 4.0;
constexpr int kHalvings = 40;
constexpr double kFarSigmas = 6.0;

struct Strength {
  double sigma = 0.0;  // of the part in question
  double chance = 0.0;
};

double log_likelihood(std::span<const WanderPart> parts, double strength) noexcept {
  double sum = 0.0;
  for (const WanderPart& part : parts) {
    const double variance = part.noise_sigma * part.noise_sigma + std::pow(strength * part.share, 2.0);
    sum -= 0.5 * (std::log(variance) + part.value * part.value / variance);
  }
  return sum;
}

}  // namespace

double wander_u95(std::span<const WanderPart> others, double noise_sigma) noexcept {
  double most = noise_sigma;
  for (const WanderPart& part : others) most = std::max(most, std::abs(part.value) / part.share);
  const double first = kLeastOfNoise * noise_sigma;
  const double ratio = std::pow(kMostOfParts * most / first, 1.0 / (kStrengths - 1));
  std::array<Strength, kStrengths> strengths{};
  double best = -1e300;
  double strength = first;
  for (Strength& each : strengths) {
    each = {std::hypot(noise_sigma, strength), log_likelihood(others, strength)};
    best = std::max(best, each.chance);
    strength *= ratio;
  }
  double sum = 0.0;
  for (Strength& each : strengths) sum += each.chance = std::exp(each.chance - best);

  double low = 0.0;
  double high = kFarSigmas * strengths.back().sigma;
  for (int i = 0; i < kHalvings; ++i) {
    const double u = 0.5 * (low + high);
    double beyond = 0.0;
    for (const Strength& each : strengths) beyond += each.chance * std::erfc(u / (std::numbers::sqrt2 * each.sigma));
    (beyond > 0.05 * sum ? low : high) = u;
  }
  return high;
}

}  // namespace four76
