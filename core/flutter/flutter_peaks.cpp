#include "core/flutter/flutter_peaks.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "core/signal/spectrum.hpp"
#include "core/signal/statistics.hpp"

namespace four76 {

namespace {

constexpr double kFirstFloorHz = 0.1, kLastFloorHz = 200.0;
constexpr double kFloorWidths = 16.0, kFloorShare = 0.15;
constexpr double kFalseAlarms = 0.01;  // peaks of noise alone in a spectrum
constexpr double kFloorDoubt = 1.2;    // of a median over some 30 independent bins
constexpr double kLeakMargin = 2.0;    // in amplitude
constexpr double kValleyPower = 0.25;  // half the amplitude
constexpr double kRounding = 3e-6;     // of the strongest: what single precision leaves
constexpr double kHannRate = 0.689;    // see the header
constexpr double kNormal95 = 1.960;
constexpr double kRateBiasWidths = 0.003, kPeakBias = 0.002;  // of the parabola
// Hann's window, a width off its middle, reads a quarter of the power; a ridge more.
constexpr double kSteadySide = 0.33;

}  // namespace

FlutterPeaks::FlutterPeaks() : sample_(kMostSampled), candidates_(kMostCandidates) {}

std::size_t FlutterPeaks::width_bins() const noexcept {
  return static_cast<std::size_t>(std::max(1.0, std::round(1.0 / (spectrum_.span_s * spectrum_.bin_hz))));
}

std::span<const FlutterPeak> FlutterPeaks::find(const DeviationSpectrum& spectrum) noexcept {
  spectrum_ = spectrum;
  peak_count_ = 0;
  measure_floors();
  gather_candidates();
  for (std::size_t i = 0; i < candidate_count_ && peak_count_ < kMost; ++i) {
    if (!stands_alone(candidates_[i])) continue;
    bins_[peak_count_] = candidates_[i].bin;
    peaks_[peak_count_++] = measure(candidates_[i].bin);
  }
  return {peaks_.data(), peak_count_};
}

void FlutterPeaks::measure_floors() noexcept {
  const double width_hz = 1.0 / spectrum_.span_s;
  const auto last_bin = static_cast<double>(spectrum_.power.size() - 1);
  for (std::size_t i = 0; i < kFloors; ++i) {
    const double hz = kFirstFloorHz * std::pow(kLastFloorHz / kFirstFloorHz, static_cast<double>(i) / (kFloors - 1));
    const double reach_hz = std::max(kFloorWidths * width_hz, kFloorShare * hz);
    const double from = std::clamp((hz - reach_hz) / spectrum_.bin_hz, 2.0 * width_hz / spectrum_.bin_hz, last_bin);
    const double to = std::clamp((hz + reach_hz) / spectrum_.bin_hz, from, last_bin);
    const auto count = std::min(kMostSampled, static_cast<std::size_t>(to - from) + 1);
    for (std::size_t n = 0; n < count; ++n)
      sample_[n] = spectrum_.power[static_cast<std::size_t>(from + (to - from) * static_cast<double>(n) /
                                                                       static_cast<double>(count))];
    floors_[i] = static_cast<double>(median_of(std::span(sample_).first(count))) / std::numbers::ln2;
  }
}

double FlutterPeaks::floor_at(double rate_hz) const noexcept {
  const double position =
      std::clamp(std::log(rate_hz / kFirstFloorHz) / std::log(kLastFloorHz / kFirstFloorHz), 0.0, 1.0) * (kFloors - 1);
  const auto below = std::min(static_cast<std::size_t>(position), kFloors - 2);
  const double around = std::lerp(floors_[below], floors_[below + 1], position - static_cast<double>(below));
  return std::max(around, spectrum_.noise_power_hz2 * rate_hz * rate_hz);
}

double FlutterPeaks::told_over_floor() const noexcept {
  const double bins = static_cast<double>(spectrum_.power.size()) / static_cast<double>(width_bins());
  return kFloorDoubt * std::log(bins / kFalseAlarms);
}

// Local maxima out of the noise, strongest first; of very many the strongest.
void FlutterPeaks::gather_candidates() noexcept {
  const auto power = spectrum_.power;
  const auto first =
      std::max<std::size_t>(1, static_cast<std::size_t>(std::ceil(spectrum_.lowest_hz / spectrum_.bin_hz)));
  candidate_count_ = 0;
  if (first + 1 >= power.size()) return;
  const double strongest =
      static_cast<double>(*std::max_element(power.begin() + static_cast<std::ptrdiff_t>(first), power.end()));
  const double over_floor = told_over_floor();
  const auto weaker = [](const Candidate& a, const Candidate& b) { return a.power > b.power; };
  for (std::size_t k = first; k + 1 < power.size(); ++k) {
    if (power[k] <= power[k - 1] || power[k] < power[k + 1]) continue;
    const auto here = static_cast<double>(power[k]);
    if (here < kRounding * kRounding * strongest || here <= 0.0) continue;
    if (here < over_floor * floor_at(static_cast<double>(k) * spectrum_.bin_hz)) continue;
    const auto begin = candidates_.begin();
    if (candidate_count_ == kMostCandidates) {
      if (here <= candidates_.front().power) continue;
      std::pop_heap(begin, candidates_.end(), weaker);
      --candidate_count_;
    }
    candidates_[candidate_count_++] = {k, here};
    std::push_heap(begin, begin + static_cast<std::ptrdiff_t>(candidate_count_), weaker);
  }
  std::sort_heap(candidates_.begin(), candidates_.begin() + static_cast<std::ptrdiff_t>(candidate_count_), weaker);
}

// The window's transform has zeros, but a peak between two bins need not fall on one: the largest leak within a width.
double FlutterPeaks::leakage_near(std::size_t distance) const noexcept {
  const auto leakage = spectrum_.leakage;
  const std::size_t width = width_bins();
  const std::size_t from = std::min(distance - std::min(distance, width), leakage.size() - 1);
  const std::size_t to = std::min(distance + width, leakage.size() - 1);
  return static_cast<double>(*std::max_element(leakage.begin() + static_cast<std::ptrdiff_t>(from),
                                               leakage.begin() + static_cast<std::ptrdiff_t>(to) + 1));
}

bool FlutterPeaks::stands_alone(const Candidate& candidate) const noexcept {
  const double amplitude = std::sqrt(candidate.power);
  double leaked = 0.0;
  for (std::size_t i = 0; i < peak_count_; ++i) {
    const auto [low, high] = std::minmax(bins_[i], candidate.bin);
    leaked += peaks_[i].peak_percent * (leakage_near(high - low) + leakage_near(high + low));
    const auto valley = std::min_element(spectrum_.power.begin() + static_cast<std::ptrdiff_t>(low),
                                         spectrum_.power.begin() + static_cast<std::ptrdiff_t>(high));
    if (static_cast<double>(*valley) > kValleyPower * candidate.power) return false;
  }
  return amplitude > kLeakMargin * leaked;
}

FlutterPeak FlutterPeaks::measure(std::size_t bin) const noexcept {
  const auto level = [&](std::size_t k) {
    return db_of_power(std::max(static_cast<double>(spectrum_.power[k]), 1e-30));
  };
  const ParabolicPeak top = parabolic_peak(level(bin - 1), level(bin), level(bin + 1));
  FlutterPeak peak;
  peak.rate_hz = (static_cast<double>(bin) + top.offset_bins) * spectrum_.bin_hz;
  peak.peak_percent = std::pow(10.0, (level(bin) + top.rise) / 20.0);
  const double sigma = std::sqrt(floor_at(peak.rate_hz) / 2.0);
  peak.peak_u95_percent = std::hypot(kNormal95 * sigma, kPeakBias * peak.peak_percent);
  peak.rate_u95_hz = std::hypot(kNormal95 * kHannRate * sigma / peak.peak_percent, kRateBiasWidths) / spectrum_.span_s;

  const double width = 1.0 / (spectrum_.span_s * spectrum_.bin_hz);
  const auto power_at = [&](double position) {
    const auto k = static_cast<std::size_t>(std::clamp(position, 0.0, static_cast<double>(spectrum_.power.size() - 2)));
    return std::lerp(static_cast<double>(spectrum_.power[k]), static_cast<double>(spectrum_.power[k + 1]),
                     std::clamp(position - static_cast<double>(k), 0.0, 1.0));
  };
  const double middle = static_cast<double>(bin) + top.offset_bins;
  const double sides = 0.5 * (power_at(middle - width) + power_at(middle + width));
  const double doubt = std::sqrt(2.0) * sigma / peak.peak_percent;
  peak.steady = sides < (kSteadySide + 2.0 * doubt) * peak.peak_percent * peak.peak_percent;
  return peak;
}

}  // namespace four76
