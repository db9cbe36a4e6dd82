#include "core/tapes/lines/movement_match.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace four76 {

namespace {

// Derived: frames overlap by half, and steps that share an estimate are not independent of each other.
constexpr double kIndependent = 0.4;
constexpr double kClaimFactor = 1.15;                 // from one k to the next
constexpr int kClaims = 10;                           // k from 0.25 to 4
constexpr double kClaimSpread = 0.5;                  // of ln k: what a tracker claims is right within a factor of 1.6
constexpr std::array kGains = {0.6, 0.8, 1.0};        // b
constexpr std::array kAgreements = {0.7, 0.85, 1.0};  // g
constexpr double kMinVariance = 1e-14;                // a ten-millionth a step, squared
constexpr double kMaxLog = 60.0;

// ln of the sum of exponentials, a term at a time.
struct LogSum {
  double highest = -1e300, sum = 0.0;
  void add(double term) noexcept {
    if (term > highest) {
      sum = sum * std::exp(highest - term) + 1.0;
      highest = term;
    } else {
      sum += std::exp(term - highest);
    }
  }
  [[nodiscard]] double value() const noexcept { return highest + std::log(sum); }
};

}  // namespace

void MovementMatch::add(double line_step, double machine_step, double machine_variance) noexcept {
  count_ += 1.0;
  line_ += line_step * line_step;
  both_ += line_step * machine_step;
  machine_ += machine_step * machine_step;
  claimed_ += machine_variance;
}

double MovementMatch::log_factor() const noexcept {
  if (count_ < 2.0) return 0.0;
  const double half = 0.5 * kIndependent * count_;
  const double dd = line_ / count_ + kMinVariance, ds = both_ / count_, ss = machine_ / count_ + kMinVariance;
  const double claimed = claimed_ / count_ + kMinVariance;
  LogSum tape, room;
  for (int i = -kClaims; i <= kClaims; ++i) {
    const double log_scale = i * std::log(kClaimFactor);
    const double prior = -0.5 * log_scale * log_scale / (kClaimSpread * kClaimSpread);
    const double noise = claimed * std::exp(log_scale), moves = std::max(0.0, ss - noise);  // b^2 V
    const double var_s = noise + moves;
    const double room_log = prior - half * (std::log(dd) + std::log(var_s) + 1.0 + ss / var_s);
    for (const double gain : kGains)
      for (const double agreement : kAgreements) {
        const double movement = moves / (gain * gain), cov = agreement * gain * movement;
        const double var_d = std::max(dd, 1.001 * movement), det = var_d * var_s - cov * cov;
        room.add(room_log);
        tape.add(prior - half * (std::log(det) + (dd * var_s - 2.0 * ds * cov + ss * var_d) / det));
      }
  }
  return std::clamp(tape.value() - room.value(), -kMaxLog, kMaxLog);
}

double probability_of(double prior_odds, double log_factor) noexcept {
  return 1.0 / (1.0 + std::exp(-log_factor) / prior_odds);
}

}  // namespace four76
