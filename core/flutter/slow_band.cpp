#include "core/flutter/slow_band.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace four76 {

namespace {

using std::numbers::pi;

constexpr int kSteps = 8;          // of Gauss and Newton
constexpr double kSettled = 1e-5;  // of a width: the last step
constexpr double kMostStepWidths = 1.0;

// Without the detour for NaN and infinity.
std::complex<double> times(std::complex<double> a, std::complex<double> b) noexcept {
  return {a.real() * b.real() - a.imag() * b.imag(), a.real() * b.imag() + a.imag() * b.real()};
}

// exp(-j theta) at evenly spaced times, each from the one before by differences of the phase.
class Turning {
 public:
  Turning(double rate_hz, double change, double first_s, double step_s) noexcept {
    const double bend = rate_hz > 0.0 ? 0.5 * change * change / rate_hz : 0.0;
    const auto cycles = [&](double t) { return ((bend * t + 0.5 * change) * t + rate_hz) * t; };
    double ahead[4];
    for (int k = 0; k < 4; ++k) ahead[k] = cycles(first_s + k * step_s);
    for (int order = 0; order < 4; ++order) {
      turns_[order] = std::polar(1.0, -2.0 * pi * ahead[0]);
      for (int k = 0; k < 3 - order; ++k) ahead[k] = ahead[k + 1] - ahead[k];
    }
  }
  std::complex<double> next() noexcept {
    const std::complex<double> now = turns_[0];
    for (int order = 0; order < 3; ++order) turns_[order] = times(turns_[order], turns_[order + 1]);
    return now;
  }

 private:
  std::complex<double> turns_[4];
};

}  // namespace

SlowBand::SlowBand() : fft_(kSize), frame_(kSize), left_(kSize), weights_(kSize) {}

void SlowBand::set_record(const Record& record) noexcept {
  over_size_ = 1.0 / static_cast<double>(record.size);
  bin_hz_ = record.point_rate_hz / static_cast<double>(record.size);
  step_s_ = static_cast<double>(record.size / kSize) / record.point_rate_hz;
  span_s_ = static_cast<double>(record.length) / record.point_rate_hz;
  middle_s_ = 0.5 * (static_cast<double>(record.length) - 1.0) / record.point_rate_hz;
  count_ = std::min(kSize, (record.length + record.size / kSize - 1) / (record.size / kSize));
}

// Unscaled; conjugated.
std::span<const std::complex<float>> SlowBand::inverse(std::span<const std::complex<float>> bins) noexcept {
  const std::size_t kept = std::min({bins.size(), kSize, static_cast<std::size_t>(kHighestHz / bin_hz_) + 1});
  for (std::size_t k = 0; k < kSize; ++k) frame_[k] = k < kept ? std::conj(bins[k]) : std::complex<float>();
  return fft_.transform(frame_);
}

void SlowBand::load_weights(std::span<const std::complex<float>> bins) noexcept {
  const auto series = inverse(bins);
  const double mean = static_cast<double>(bins[0].real());
  for (std::size_t m = 0; m < count_; ++m)
    weights_[m] = over_size_ * (2.0 * static_cast<double>(series[m].real()) - mean);
  measure_weights();
}

void SlowBand::load_hann() noexcept {
  for (std::size_t m = 0; m < count_; ++m) weights_[m] = std::pow(std::cos(pi * time_s(m) / span_s_), 2.0);
  measure_weights();
}

void SlowBand::measure_weights() noexcept {
  moments_.fill(0.0);
  for (std::size_t m = 0; m < count_; ++m) {
    double term = weights_[m];
    for (double& moment : moments_) {
      moment += term;
      term *= time_s(m) / span_s_;
    }
  }
  make_polynomials();
}

// By Stieltjes' procedure, over the weights as they are.
void SlowBand::make_polynomials() noexcept {
  std::array<double, kOrders> q{};
  centre_.fill(0.0);
  lead_.fill(0.0);
  for (std::size_t k = 0; k < kOrders; ++k) {
    double squares = 0.0;
    double firsts = 0.0;
    double noise = 0.0;
    double noise_of_mean = 0.0;
    lead_[k] = 1.0;
    for (std::size_t m = 0; m < count_; ++m) {
      evaluate_polynomials(m, q);
      const double w = weights_[m];
      squares += w * q[k] * q[k];
      firsts += w * q[k] * q[k] * time_s(m) / span_s_;
      noise += w * w * q[k] * q[k];
      noise_of_mean += w * w;
    }
    lead_[k] = k > 0 ? std::sqrt(squares / moments_[0]) : 1.0;
    centre_[k] = firsts / squares;
    noise_[k] = std::sqrt(noise / noise_of_mean) / lead_[k];
  }
}

void SlowBand::evaluate_polynomials(std::size_t m, std::array<double, kOrders>& q) const noexcept {
  const double t = time_s(m) / span_s_;
  q[0] = 1.0;
  for (std::size_t k = 0; k + 1 < kOrders; ++k) {
    const double before = k > 0 ? lead_[k] * q[k - 1] : 0.0;
    q[k + 1] = lead_[k + 1] > 0.0 ? ((t - centre_[k]) * q[k] - before) / lead_[k + 1] : 0.0;
  }
}

SlowBand::Shape SlowBand::shape(const MovingSine& sine) const noexcept {
  Shape shape{.parts = {}, .noise = noise_, .change_per_radian = 0.0};
  std::array<double, kOrders> q{};
  Turning turning(sine.rate_hz, sine.change_hz_per_s, time_s(0), step_s_);
  for (std::size_t m = 0; m < count_; ++m) {
    const std::complex<double> value = times(left_[m], turning.next());
    evaluate_polynomials(m, q);
    for (std::size_t k = 0; k < kOrders; ++k) shape.parts[k] += q[k] * value;
  }
  for (auto& part : shape.parts) part /= moments_[0] * sine.amplitude;
  // q[2] begins with (t / T)^2 over both leads.
  shape.change_per_radian = 1.0 / (lead_[1] * lead_[2] * pi * span_s_ * span_s_);
  return shape;
}

void SlowBand::load(std::span<const std::complex<float>> bins) noexcept {
  const auto series = inverse(bins);
  for (std::size_t m = 0; m < count_; ++m) left_[m] = 2.0 * over_size_ * std::conj(std::complex<double>(series[m]));
}

void SlowBand::add(const MovingSine& sine, double sign) noexcept {
  Turning turning(sine.rate_hz, sine.change_hz_per_s, time_s(0), step_s_);
  for (std::size_t m = 0; m < count_; ++m)
    left_[m] += sign * weights_[m] * times(sine.amplitude, std::conj(turning.next()));
}

std::complex<double> SlowBand::at(double rate_hz, double change_hz_per_s) const noexcept {
  Turning turning(rate_hz, change_hz_per_s, time_s(0), step_s_);
  std::complex<double> sum;
  for (std::size_t m = 0; m < count_; ++m) sum += times(left_[m], turning.next());
  return sum / moments_[0];
}

SlowBand::Sums SlowBand::sums(const MovingSine& sine) const noexcept {
  Turning turning(sine.rate_hz, sine.change_hz_per_s, time_s(0), step_s_);
  Sums sums{};
  for (std::size_t m = 0; m < count_; ++m) {
    const std::complex<double> value = times(left_[m], turning.next());
    const double t = time_s(m) / span_s_;
    sums.by_power[0] += value;
    sums.by_power[1] += t * value;
    sums.by_power[2] += t * t * value;
  }
  return sums;
}

// Steps of c of 1 / T^2: half of one bends the phase by 0.4 rad at most. Bins are half a width apart.
MovingSine SlowBand::search(const Reach& reach) noexcept {
  const double step = 1.0 / (span_s_ * span_s_);
  const int steps = static_cast<int>(std::floor(reach.most_change / step));
  const auto first = static_cast<std::size_t>(std::max(0.0, std::ceil((reach.rate_hz - reach.reach_hz) / bin_hz_)));
  const auto last = std::min(
      kSize - 1, static_cast<std::size_t>(std::max(0.0, std::floor((reach.rate_hz + reach.reach_hz) / bin_hz_))));
  MovingSine best;
  float largest = 0.0F;
  for (int i = -steps; i <= steps; ++i) {
    const double change = reach.middle_change + step * i;
    Turning turning(0.0, change, time_s(0), step_s_);  // unbent: near enough
    std::fill(frame_.begin(), frame_.end(), std::complex<float>());
    for (std::size_t m = 0; m < count_; ++m) frame_[m] = std::complex<float>(times(left_[m], turning.next()));
    const auto bins = fft_.transform(frame_);
    for (std::size_t k = first; k <= last; ++k) {
      if (std::norm(bins[k]) <= largest) continue;
      largest = std::norm(bins[k]);
      best.rate_hz = static_cast<double>(k) * bin_hz_;
      best.change_hz_per_s = change;
    }
  }
  best.amplitude = at(best.rate_hz, best.change_hz_per_s);
  return best;
}

MovingSine SlowBand::refine(MovingSine sine, bool moves) const noexcept {
  const auto& w = moments_;
  for (int i = 0; i < kSteps; ++i) {
    const Sums found = sums(sine);
    sine.amplitude = found.by_power[0] / w[0];
    const double peak = std::abs(sine.amplitude);
    if (!(peak > 0.0)) break;
    const std::complex<double> against = std::conj(sine.amplitude) / (peak * peak);
    double b[3];
    for (int k = 0; k < 3; ++k) b[k] = (found.by_power[k] * against).imag();
    // b[0] is 0: the phase is the sum's own. The first row takes d_phi out of the other two.
    const double m11 = w[2] - w[1] * w[1] / w[0];
    const double m12 = w[3] - w[1] * w[2] / w[0];
    const double m22 = w[4] - w[2] * w[2] / w[0];
    const double determinant = moves ? m11 * m22 - m12 * m12 : m11;
    if (!(determinant > 0.0)) break;
    const double slope = moves ? (m22 * b[1] - m12 * b[2]) / determinant : b[1] / determinant;
    const double bend = moves ? (m11 * b[2] - m12 * b[1]) / determinant : 0.0;
    const double step_widths = std::clamp(slope / (2.0 * pi), -kMostStepWidths, kMostStepWidths);
    const double bend_widths = std::clamp(bend / pi, -kMostStepWidths, kMostStepWidths);
    sine.rate_hz += step_widths / span_s_;
    sine.change_hz_per_s += bend_widths / (span_s_ * span_s_);
    if (std::abs(step_widths) + std::abs(bend_widths) < kSettled) break;
  }
  sine.amplitude = at(sine.rate_hz, sine.change_hz_per_s);
  return sine;
}

}  // namespace four76
