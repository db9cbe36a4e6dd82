#include "tests/bench/peers.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

#include "tests/scenes/fft_pair.hpp"
#include "tests/scenes/score.hpp"

namespace four76::bench {

namespace {

constexpr double kPi = std::numbers::pi;

// ---- The counter -------------------------------------------------------------------------------------------------

constexpr double kHysteresisOfRms = 0.3;
constexpr double kGateS = 1.0;
constexpr double kCouplingHz = 10.0;  // the corner of the coupling capacitor
constexpr double kLeastRms = 1e-4;    // of full scale: below it the counter shows nothing

// The times of rising edges in samples, between samples; an edge counts once the signal has gone below -hysteresis.
std::vector<double> rising_edges(const Samples& x, double hysteresis, double sample_rate_hz) {
  std::vector<double> edges;
  const double pole = 2.0 * kPi * kCouplingHz / sample_rate_hz;
  double offset = 0.0, before = 0.0, crossed = -1.0;
  bool armed = false;
  for (std::size_t n = 0; n < x.size(); ++n) {
    offset += pole * (static_cast<double>(x[n]) - offset);
    const double now = static_cast<double>(x[n]) - offset;
    if (before < 0.0 && now >= 0.0) crossed = static_cast<double>(n) - now / (now - before);
    if (now < -hysteresis) armed = true;
    if (armed && now > hysteresis) {
      edges.push_back(crossed);
      armed = false;
    }
    before = now;
  }
  return edges;
}

// ---- The spectrum ------------------------------------------------------------------------------------------------

constexpr std::size_t kFrame = 16384;
constexpr double kSearched = 0.25;
constexpr double kVisibleDb = 10.0;

std::optional<double> peak_hz(const std::vector<double>& log_power, double nominal_hz, double bin_hz) {
  const auto first = static_cast<std::size_t>((1.0 - kSearched) * nominal_hz / bin_hz);
  const auto last = std::min(log_power.size() - 2, static_cast<std::size_t>((1.0 + kSearched) * nominal_hz / bin_hz));
  const auto begin = log_power.begin() + static_cast<std::ptrdiff_t>(first);
  const auto end = log_power.begin() + static_cast<std::ptrdiff_t>(last) + 1;
  const auto top = static_cast<std::size_t>(std::max_element(begin, end) - log_power.begin());
  if (log_power[top] < scenes::median({begin, end}) + kVisibleDb) return std::nullopt;
  const double a = log_power[top - 1], b = log_power[top], c = log_power[top + 1];
  const double bend = a - 2.0 * b + c;
  const double shift = bend < 0.0 ? 0.5 * (a - c) / bend : 0.0;
  return (static_cast<double>(top) + shift) * bin_hz;
}

}  // namespace

PeerReading reading_of(const std::vector<double>& shown) {
  if (shown.empty()) return {};
  const double sum = std::accumulate(shown.begin(), shown.end(), 0.0);
  return {shown.back(), sum / static_cast<double>(shown.size()), scenes::median(shown)};
}

PeerReading count_crossings(const Samples& samples, double sample_rate_hz) {
  double square = 0.0;
  for (const float x : samples) square += static_cast<double>(x) * static_cast<double>(x);
  const double rms = std::sqrt(square / static_cast<double>(samples.size()));
  if (rms < kLeastRms) return {};
  const std::vector<double> edges = rising_edges(samples, kHysteresisOfRms * rms, sample_rate_hz);
  const double gate = kGateS * sample_rate_hz;
  std::vector<double> shown;
  auto first = edges.begin();
  for (double end = gate; end <= static_cast<double>(samples.size()); end += gate) {
    const auto last = std::lower_bound(first, edges.end(), end);
    if (last - first > 1)
      shown.push_back(static_cast<double>(last - first - 1) * sample_rate_hz / (*(last - 1) - *first));
    first = last;
  }
  return reading_of(shown);
}

PeerReading spectrum_peak(const Samples& samples, double sample_rate_hz, double nominal_hz) {
  scenes::FftPair fft(kFrame);
  std::vector<double> shown;
  std::vector<double> log_power(kFrame / 2 + 1);
  for (std::size_t at = 0; at + kFrame <= samples.size(); at += kFrame / 2) {
    for (std::size_t n = 0; n < kFrame; ++n) {
      const double window = 0.5 - 0.5 * std::cos(2.0 * kPi * static_cast<double>(n) / kFrame);
      fft.time()[n] = window * static_cast<double>(samples[at + n]);
    }
    fft.forward();
    for (std::size_t k = 0; k < log_power.size(); ++k)
      log_power[k] = 10.0 * std::log10(std::norm(fft.bins()[k]) + 1e-20);
    const auto peak = peak_hz(log_power, nominal_hz, sample_rate_hz / kFrame);
    if (peak) shown.push_back(*peak);
  }
  return reading_of(shown);
}

}  // namespace four76::bench
