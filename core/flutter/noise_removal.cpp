#include "core/flutter/noise_removal.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace four76 {

namespace {

constexpr double kDensitySigma = 0.05;  // relative, of N0/C: see the header
constexpr double kTold = 2.0;           // standard uncertainties
constexpr double kNormal95 = 1.960;
// Relative variance of the value exceeded 5 % of the time, of n = 2 B T Gaussian values: p (1 - p) / (n (1.96 f)^2)
// with f = 0.1169 there (derived).
constexpr double kQuantileVariance = 0.45;
constexpr double kBinSigma = 0.001;  // of TwoSigma's bins

// Derived: numerical integration over the sine's angle, at shares of 0, 0.05, ... 1.
constexpr std::array<double, 21> kTwoSigmaRatio{1.4098, 1.4271, 1.4632, 1.5037, 1.5458, 1.5881, 1.6300,
                                                1.6708, 1.7101, 1.7477, 1.7832, 1.8163, 1.8467, 1.8741,
                                                1.8980, 1.9183, 1.9345, 1.9466, 1.9545, 1.9588, 1.9600};

// The share whose ratio is this one.
double gaussian_share(double ratio) noexcept {
  const auto above = std::lower_bound(kTwoSigmaRatio.begin(), kTwoSigmaRatio.end(), ratio);
  if (above == kTwoSigmaRatio.begin()) return 0.0;
  if (above == kTwoSigmaRatio.end()) return 1.0;
  const double part = (ratio - above[-1]) / (above[0] - above[-1]);
  return (static_cast<double>(above - kTwoSigmaRatio.begin()) - 1.0 + part) / (kTwoSigmaRatio.size() - 1);
}

double largest_of_noise(double counted_s) noexcept { return 1.562 + 0.023 * std::log(std::max(counted_s, 5.0) / 5.0); }

// The noise taken from the Gaussian part, the whole having this two-sigma over RMS.
double clean_at_ratio(double ratio, const BandLevel& level, double noise_power, double power_left) noexcept {
  const double power = level.rms_percent * level.rms_percent;
  const double share = std::max(gaussian_share(ratio), std::sqrt(noise_power / power));
  const double gaussian_left = std::clamp((share * share * power - noise_power) / power_left, 0.0, 1.0);
  return level.two_sigma_percent * std::sqrt(power_left / power) * two_sigma_ratio(std::sqrt(gaussian_left)) /
         two_sigma_ratio(share);
}

struct CleanTwoSigma {
  double percent = 0.0, sigma = 0.0;  // the latter of the share alone
};
CleanTwoSigma clean_two_sigma(const BandLevel& level, const NoiseShare& noise, double power_left) noexcept {
  const double noise_power = noise.rms_percent * noise.rms_percent;
  const double read = level.two_sigma_percent;
  const double ratio = read / level.rms_percent;
  if (ratio >= kTwoSigmaRatio.back())
    return {std::sqrt(std::max(read * read - kNormal95 * kNormal95 * noise_power, power_left)), 0.0};
  const double unsure = std::hypot(std::sqrt(kQuantileVariance * noise.chance()), kBinSigma);
  const double low = clean_at_ratio(ratio * (1.0 - unsure), level, noise_power, power_left);
  const double high = clean_at_ratio(ratio * (1.0 + unsure), level, noise_power, power_left);
  return {0.5 * (low + high), 0.5 * (high - low)};
}

// What is left of the power, and how sure.
struct Left {
  double power = 0.0, sigma = 0.0, least_power = 0.0;
  [[nodiscard]] bool told() const noexcept { return power >= least_power && power > 0.0; }
};

// `chance` is the relative variance of the noise's power in this figure. Beside it the product of both counts: twice
// the power of the one times that of the other over B T (derived for a line in white noise).
Left leave(double read_power, double noise_power, double chance) noexcept {
  const double alone = noise_power * std::hypot(std::sqrt(chance), kDensitySigma);
  Left left{read_power - noise_power, alone, kTold * alone};
  if (left.power > 0.0) left.sigma = std::sqrt(alone * alone + 2.0 * left.power * noise_power * chance);
  return left;
}

FlutterFigure figure_of(double as_read, double clean, double noise, const Left& left, double over_rms) noexcept {
  FlutterFigure figure{.as_read_percent = as_read, .noise_percent = noise};
  figure.least_percent = over_rms * std::sqrt(left.least_power);
  figure.below_noise = !left.told();
  if (figure.below_noise) return figure;
  figure.percent = clean;
  figure.u95_percent = kNormal95 * over_rms * left.sigma / (2.0 * std::sqrt(left.power));
  return figure;
}

}  // namespace

double NoiseShare::chance() const noexcept { return 1.0 / std::max(power_bandwidth_hz * counted_s, 1.0); }

double two_sigma_ratio(double share) noexcept {
  const double at = std::clamp(share, 0.0, 1.0) * (kTwoSigmaRatio.size() - 1);
  const auto below = std::min(static_cast<std::size_t>(at), kTwoSigmaRatio.size() - 2);
  return std::lerp(kTwoSigmaRatio[below], kTwoSigmaRatio[below + 1], at - static_cast<double>(below));
}

NoiseShare noise_share(const DeviationFilter& filter, double nominal_hz, double noise_to_carrier,
                       double counted_s) noexcept {
  const double hz = std::sqrt(std::max(noise_to_carrier, 0.0) * filter.noise_integral_hz3());
  return {100.0 * hz / nominal_hz, filter.noise_bandwidth_hz(), counted_s};
}

FlutterFigure rms_figure(const BandLevel& level, const std::optional<NoiseShare>& noise) noexcept {
  const double read = level.rms_percent;
  if (!noise) return {.percent = read, .as_read_percent = read};
  const Left left = leave(read * read, noise->rms_percent * noise->rms_percent, noise->chance());
  return figure_of(read, std::sqrt(std::max(left.power, 0.0)), noise->rms_percent, left, 1.0);
}

// Whether there is more than noise is told by the powers: more surely than by a quantile.
FlutterFigure two_sigma_figure(const BandLevel& level, const std::optional<NoiseShare>& noise) noexcept {
  const double read = level.two_sigma_percent;
  if (!noise) return {.percent = read, .as_read_percent = read};
  const double noise_power = noise->rms_percent * noise->rms_percent;
  const Left left = leave(level.rms_percent * level.rms_percent, noise_power, noise->chance());
  const CleanTwoSigma clean = left.told() ? clean_two_sigma(level, *noise, left.power) : CleanTwoSigma{};
  const double over_rms = left.told() ? clean.percent / std::sqrt(left.power) : kNormal95;
  FlutterFigure figure = figure_of(read, clean.percent, kNormal95 * noise->rms_percent, left, over_rms);
  if (figure.u95_percent) *figure.u95_percent = std::hypot(*figure.u95_percent, kNormal95 * clean.sigma);
  return figure;
}

FlutterFigure quasi_peak_figure(double largest_percent, const std::optional<NoiseShare>& noise) noexcept {
  constexpr double kLargestSigma = 0.025;  // of noise alone; simulated
  constexpr double kBesideDeviation = 1.65;
  if (!noise) return {.percent = largest_percent, .as_read_percent = largest_percent};
  const double alone = largest_of_noise(noise->counted_s) * noise->rms_percent;
  const double beside = kBesideDeviation * noise->rms_percent;
  const double power = largest_percent * largest_percent;
  const Left left = leave(power, alone * alone, 4.0 * kLargestSigma * kLargestSigma);
  return figure_of(largest_percent, std::sqrt(std::max(power - beside * beside, 0.0)), alone, left, 1.0);
}

}  // namespace four76
