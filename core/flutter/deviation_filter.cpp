#include "core/flutter/deviation_filter.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

#include "core/flutter/weighting.hpp"
#include "core/signal/filters.hpp"

namespace four76 {

namespace {

using std::numbers::pi;

constexpr double kLowEdgeHz = 0.035;  // derived: 0.064 dB down at 0.1 Hz, and no slower to settle than that asks for
constexpr double kSplitHz = 10.0;     // JIS C 5569 = IEC 386: wow below, flutter above
constexpr double kScrapeHz = 100.0;   // common practice
// Of a fourth-order Butterworth filter's two pairs: 1 / (2 cos(pi / 8)) and 1 / (2 cos(3 pi / 8)).
constexpr double kButterworthQ[] = {0.541196, 1.306563};
constexpr double kAttenuationDb = 60.0;
constexpr double kPulseS = 0.05;
constexpr double kSettled = 0.03;
constexpr std::size_t kGrid = 1024;  // of the integrals over the band

enum class Pass { low, high };

// Bilinear, the corner exact (R. Bristow-Johnson's cookbook, from memory).
Biquad second_order(Pass pass, double corner_hz, double q, double point_rate_hz) noexcept {
  const double turn = 2.0 * pi * corner_hz / point_rate_hz;
  const double cosine = std::cos(turn);
  const double alpha = std::sin(turn) / (2.0 * q);
  const double sign = pass == Pass::low ? 1.0 : -1.0;
  // 1 - cos loses digits for slow corners.
  const double b = pass == Pass::low ? 2.0 * std::pow(std::sin(turn / 2.0), 2.0) : 1.0 + cosine;
  const double a0 = 1.0 + alpha;
  return {.b0 = b / (2.0 * a0),
          .b1 = sign * b / a0,
          .b2 = b / (2.0 * a0),
          .a1 = -2.0 * cosine / a0,
          .a2 = (1.0 - alpha) / a0};
}

// With four running sums, so that the compiler can use vector registers.
double dot(const double* a, const double* b, std::size_t count) noexcept {
  double sums[4] = {};
  std::size_t k = 0;
  for (; k + 4 <= count; k += 4)
    for (std::size_t i = 0; i < 4; ++i) sums[i] += a[k + i] * b[k + i];
  for (; k < count; ++k) sums[0] += a[k] * b[k];
  return (sums[0] + sums[2]) + (sums[1] + sums[3]);
}

}  // namespace

DeviationFilter::DeviationFilter(const Config& config) : config_(config) {
  assert(config.point_rate_hz >= 700.0 && config.point_rate_hz <= 2500.0 && "700 to 2500 points a second");
  design_sections();
  design_taps();
  integrate_noise();
  measure_settling();
  settle(0.0);
}

void DeviationFilter::add_section(const Biquad& section) noexcept { sections_[section_count_++] = section; }

void DeviationFilter::design_sections() noexcept {
  const double rate = config_.point_rate_hz;
  if (config_.band == FlutterBand::flat) return;
  if (config_.band == FlutterBand::weighted) {
    for (const Biquad& each : weighting_sections(rate)) add_section(each);
    return;
  }
  add_section(second_order(Pass::high, kLowEdgeHz, std::numbers::sqrt2 / 2.0, rate));
  if (config_.band == FlutterBand::unweighted) return;
  const Pass pass = config_.band == FlutterBand::wow ? Pass::low : Pass::high;
  const double corner_hz = config_.band == FlutterBand::scrape ? kScrapeHz : kSplitHz;
  for (const double q : kButterworthQ) add_section(second_order(pass, corner_hz, q, rate));
}

double DeviationFilter::sections_gain(double rate_hz) const noexcept {
  double gain = 1.0;
  for (std::size_t i = 0; i < section_count_; ++i)
    gain *= std::abs(sections_[i].response(rate_hz / config_.point_rate_hz));
  return gain;
}

double DeviationFilter::difference_gain(double rate_hz) const noexcept {
  const double x = pi * rate_hz / config_.point_rate_hz;
  return config_.differenced && x > 0.0 ? std::sin(x) / x : 1.0;
}

double DeviationFilter::missing(double rate_hz) const noexcept {
  const double wanted = config_.band == FlutterBand::weighted ? weighting_gain(rate_hz) / sections_gain(rate_hz) : 1.0;
  return wanted / difference_gain(rate_hz);
}

// Inverse Fourier transform of what is missing up to the middle of the transition, times Kaiser's window.
void DeviationFilter::design_taps() {
  const double rate = config_.point_rate_hz;
  const KaiserWindow window(kAttenuationDb, kStopHz - kHighestHz, rate);
  const auto half = static_cast<std::size_t>(window.half());
  const double step_hz = 0.5 * (kHighestHz + kStopHz) / static_cast<double>(kGrid);
  std::array<double, kGrid> wanted{};
  for (std::size_t i = 0; i < kGrid; ++i) wanted[i] = missing((static_cast<double>(i) + 0.5) * step_hz);

  taps_.assign(2 * half + 1, 0.0);
  for (std::size_t n = 0; n <= half; ++n) {
    const double turn = 2.0 * pi * step_hz / rate * static_cast<double>(n);
    double sum = 0.0;
    for (std::size_t i = 0; i < kGrid; ++i) sum += wanted[i] * std::cos(turn * (static_cast<double>(i) + 0.5));
    taps_[half + n] = taps_[half - n] = 2.0 * step_hz / rate * sum * (window.at(static_cast<int>(n)) / window.at(0));
  }
  ring_.assign(2 * taps_.size(), 0.0);
}

double DeviationFilter::gain(double rate_hz) const noexcept {
  const std::complex<double> cut = frequency_response(taps_, rate_hz / config_.point_rate_hz);
  return std::abs(cut) * sections_gain(rate_hz) * difference_gain(rate_hz);
}

void DeviationFilter::integrate_noise() noexcept {
  const double step_hz = kStopHz / static_cast<double>(kGrid);
  double power = 0.0;
  double square = 0.0;
  for (std::size_t i = 0; i < kGrid; ++i) {
    const double f = (static_cast<double>(i) + 0.5) * step_hz;
    const double density = std::pow(f * gain(f), 2.0);
    power += density * step_hz;
    square += density * density * step_hz;
  }
  noise_integral_hz3_ = power;
  noise_bandwidth_hz_ = power * power / square;
}

void DeviationFilter::measure_settling() {
  settle(0.0);
  const double rate = config_.point_rate_hz;
  std::vector<double> response(static_cast<std::size_t>(4.0 * rate));
  double largest = 0.0;
  for (std::size_t n = 0; n < response.size(); ++n) {
    response[n] = std::abs(process(static_cast<double>(n) < kPulseS * rate ? 1.0 : 0.0));
    largest = std::max(largest, response[n]);
  }
  std::size_t end = response.size();
  while (end > 0 && response[end - 1] < kSettled * largest) --end;
  settling_s_ = static_cast<double>(end) / rate;
}

void DeviationFilter::settle(double deviation) noexcept {
  std::fill(ring_.begin(), ring_.end(), deviation);
  next_ = 0;
  double level = 0.0;
  for (const double tap : taps_) level += tap * deviation;
  for (std::size_t i = 0; i < section_count_; ++i) level = sections_[i].settle(level);
}

double DeviationFilter::process(double deviation) noexcept {
  const std::size_t length = taps_.size();
  ring_[next_] = ring_[next_ + length] = deviation;
  next_ = next_ + 1 == length ? 0 : next_ + 1;
  double value = dot(taps_.data(), ring_.data() + next_, length);  // symmetrical: either order will do
  for (std::size_t i = 0; i < section_count_; ++i) value = sections_[i].process(value);
  return value;
}

}  // namespace four76
