#include "tests/scenes/tape.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

namespace four76::scenes {

namespace {

constexpr double kTau = 2.0 * std::numbers::pi;
// Enough sinusoids for a process that is Gaussian to the eye of a fit; from a tenth of the corner to five times it.
constexpr int kRandomSinusoids = 40;

double between(double a, double b, std::mt19937_64& random) {
  return std::uniform_real_distribution<double>(a, b)(random);
}

// Without the factor that makes it 1 at 4 Hz: three zeros at 0, a pole pair, three poles and a zero
// (sources.md#weighting).
double bare_weighting(double rate_hz) {
  const std::complex<double> s(0.0, rate_hz);
  const double pair_hz = 0.440;
  const double pair_q = 0.661;
  const std::complex<double> pair = s * s + s * pair_hz / pair_q + pair_hz * pair_hz;
  return std::abs(s * s * s * (s + 40.2) / (pair * (s + 1.512) * (s + 9.09) * (s + 54.3)));
}

}  // namespace

double weighting(double rate_hz) { return bare_weighting(rate_hz) / bare_weighting(4.0); }

std::vector<Sinusoid> random_process(double rms, double corner_hz, std::mt19937_64& random) {
  std::vector<Sinusoid> made;
  double power = 0.0;
  const double low = std::log(0.1 * corner_hz);
  const double step = std::log(50.0) / kRandomSinusoids;
  for (int i = 0; i < kRandomSinusoids; ++i) {
    const double rate_hz = std::exp(low + step * (i + between(0.0, 1.0, random)));
    const double fall = 1.0 + std::pow(rate_hz / corner_hz, 2.0);
    const double density = rate_hz / (fall * fall);  // an equal share of the logarithm holds rate_hz of the density
    made.push_back({rate_hz, std::sqrt(density), between(0.0, kTau, random)});
    power += density / 2.0;
  }
  for (Sinusoid& s : made) s.peak_percent *= rms / std::sqrt(power);
  return made;
}

void scale_to_weighted(std::vector<Sinusoid>& wow, double weighted_percent, double seconds) {
  std::vector<Sinusoid> weighted = wow;
  for (Sinusoid& s : weighted) s.peak_percent *= weighting(s.rate_hz);
  std::vector<double> deviation = sum_of(weighted, seconds);
  for (double& d : deviation) d = std::abs(d);
  const auto at = deviation.begin() + static_cast<std::ptrdiff_t>(0.95 * static_cast<double>(deviation.size()));
  std::nth_element(deviation.begin(), at, deviation.end());
  for (Sinusoid& s : wow) s.peak_percent *= weighted_percent / *at;
}

void add_portable_wow(Tape& tape, double weighted_percent, double seconds, std::mt19937_64& random) {
  const auto part = [&](double a, double b, double peak) {
    return Sinusoid{between(a, b, random), peak * between(0.3, 1.3, random), between(0.0, kTau, random)};
  };
  // Rates: sources.md#rotating-parts. How much each adds: common practice.
  std::vector<Sinusoid> wow = {part(5.05, 10.1, 0.45),  // capstan
                               part(1.12, 1.38, 0.6),   // pinch roller
                               part(0.30, 0.72, 0.7),   // reels
                               part(1.0, 4.0, 0.4),     // belt
                               part(20.0, 45.0, 0.2)};  // motor
  const auto noise = random_process(0.15, std::exp(between(std::log(0.5), std::log(20.0), random)), random);
  wow.insert(wow.end(), noise.begin(), noise.end());
  scale_to_weighted(wow, weighted_percent, seconds);
  tape.wow.insert(tape.wow.end(), wow.begin(), wow.end());
}

std::vector<double> sum_of(const std::vector<Sinusoid>& sinusoids, double seconds) {
  std::vector<double> sum(static_cast<std::size_t>(seconds * kCurveRateHz) + 2);
  for (const Sinusoid& s : sinusoids) {
    const std::complex<double> turn = std::polar(1.0, kTau * s.rate_hz / kCurveRateHz);
    std::complex<double> at = std::polar(s.peak_percent, s.phase);
    for (double& x : sum) {
      x += at.imag();
      at *= turn;
    }
  }
  return sum;
}

SpeedCurve speed_curve(const Tape& tape, double seconds) {
  SpeedCurve curve{{}, sum_of(tape.wow, seconds)};
  curve.set.resize(curve.with_wow.size());
  for (std::size_t i = 0; i < curve.set.size(); ++i) {
    const double t = static_cast<double>(i) / kCurveRateHz;
    double percent = tape.error_percent + tape.drift_percent_per_s * (t - seconds / 2.0) +
                     tape.warm_up_percent * std::exp(-t / tape.warm_up_s);
    for (const Step& step : tape.steps)
      if (t >= step.at_s) percent += step.percent;
    if (tape.run_up_s > 0.0) percent -= 100.0 * std::exp(-std::max(0.0, t - tape.start_s) / tape.run_up_s);
    curve.set[i] = percent;
    curve.with_wow[i] += percent;
  }
  return curve;
}

}  // namespace four76::scenes
