#include "core/flutter/flutter_spectrum.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <numbers>

namespace four76 {

namespace {
constexpr double kLeastRateHz = 450.0;  // 200 Hz, and the filter's transition does not fold into it
constexpr double kLowestHz = 0.1;
constexpr double kLeastTurns = 3.0;
constexpr double kLeastSound = 0.5;
constexpr double kLeastBinsPerWidth = 1.96;  // of the longest record: as good as half a width apart

std::size_t transform_size(double rate_hz) noexcept {
  return std::bit_ceil(static_cast<std::size_t>(kLeastBinsPerWidth * FlutterSpectrum::kLongestS * rate_hz));
}
}  // namespace

FlutterSpectrum::FlutterSpectrum(const Config& config)
    : config_(config),
      bridge_({config.point_rate_hz}),
      filter_({config.point_rate_hz, FlutterBand::flat, config.differenced}),
      decimation_(static_cast<std::size_t>(std::max(1.0, std::floor(config.point_rate_hz / kLeastRateHz)))),
      rate_hz_(config.point_rate_hz / static_cast<double>(decimation_)),
      until_kept_(decimation_),
      kinds_(filter_.delay_points() + 1),
      ring_(static_cast<std::size_t>(kLongestS * rate_hz_)),
      sound_(ring_.size()),
      size_(transform_size(rate_hz_)),
      fft_(size_),
      frame_(size_),
      weights_(ring_.size()) {
  const auto bins = static_cast<std::size_t>(DeviationFilter::kHighestHz * static_cast<double>(size_) / rate_hz_) + 1;
  power_.resize(bins);
  leakage_.resize(bins);
  peak_percent_.resize(bins);
  reset();
}

void FlutterSpectrum::reset() noexcept {
  bridge_.reset();
  until_kept_ = decimation_;
  unsettled_ = kind_next_ = next_ = held_ = 0;
  begun_ = false;
  std::fill(kinds_.begin(), kinds_.end(), std::uint8_t{0});
}

void FlutterSpectrum::process(std::span<const DeviationPoint> points) noexcept {
  for (const DeviationPoint& point : points)
    for (const BridgedPoint& bridged : bridge_.add(point)) take(bridged);
}

void FlutterSpectrum::take(const BridgedPoint& point) noexcept {
  const bool lost = point.kind == BridgedPoint::Kind::lost;
  if (!lost && !begun_) {
    filter_.settle(point.percent);
    unsettled_ = filter_.delay_points();
  }
  begun_ = !lost;
  const double value = lost ? 0.0 : filter_.process(point.percent);
  kinds_[kind_next_] = point.kind == BridgedPoint::Kind::sound;
  kind_next_ = kind_next_ + 1 == kinds_.size() ? 0 : kind_next_ + 1;
  if (unsettled_ > 0) --unsettled_;
  if (--until_kept_ > 0) return;
  until_kept_ = decimation_;
  ring_[next_] = static_cast<float>(value);
  sound_[next_] = !lost && unsettled_ == 0 && kinds_[kind_next_] != 0;  // the oldest kind: at the filter's middle
  next_ = (next_ + 1) % ring_.size();
  held_ = std::min(held_ + 1, ring_.size());
}

// Hann's window, none at the voids.
FlutterSpectrum::Weights FlutterSpectrum::fill_weights(std::size_t length) noexcept {
  Weights total;
  const double step = std::numbers::pi / static_cast<double>(length);
  for (std::size_t n = 0; n < length; ++n) {
    const double s = std::sin(step * (static_cast<double>(n) + 0.5));
    const double weight = sound_[ring_at(n, length)] != 0 ? s * s : 0.0;
    weights_[n] = static_cast<float>(weight);
    total.voids = total.voids || sound_[ring_at(n, length)] == 0;
    total.sum += weight;
    total.squares += weight * weight;
  }
  return total;
}

FlutterSpectrum::Line FlutterSpectrum::fit_line(std::size_t length, double weight) const noexcept {
  Line line;
  for (std::size_t n = 0; n < length; ++n) {
    const double w = static_cast<double>(weights_[n]) / weight;
    line.middle += w * static_cast<double>(n);
    line.mean += w * static_cast<double>(ring_[ring_at(n, length)]);
  }
  double product = 0.0;
  double spread = 0.0;
  for (std::size_t n = 0; n < length; ++n) {
    const double away = static_cast<double>(n) - line.middle;
    product += static_cast<double>(weights_[n]) * away * (static_cast<double>(ring_[ring_at(n, length)]) - line.mean);
    spread += static_cast<double>(weights_[n]) * away * away;
  }
  line.slope = product / spread;
  return line;
}

std::span<const std::complex<float>> FlutterSpectrum::transform(double sum_of_weights, std::vector<float>& magnitudes,
                                                                double scale) noexcept {
  const auto bins = fft_.transform(frame_);
  const auto factor = static_cast<float>(scale / sum_of_weights);
  for (std::size_t k = 0; k < magnitudes.size(); ++k) magnitudes[k] = factor * std::abs(bins[k]);
  return bins;
}

void FlutterSpectrum::transform_weights(std::size_t length, double sum_of_weights) noexcept {
  std::copy_n(weights_.begin(), length, frame_.begin());
  slow_.load_weights(transform(sum_of_weights, leakage_, 1.0));
}

// The same without voids, in closed form: |sin(pi d) / (pi d (1 - d^2))| at d widths (Harris 1978).
void FlutterSpectrum::hann_leakage(double span_s) noexcept {
  const double widths_per_bin = span_s * rate_hz_ / static_cast<double>(size_);
  leakage_[0] = 1.0F;
  for (std::size_t k = 1; k < leakage_.size(); ++k) {
    const double d = static_cast<double>(k) * widths_per_bin;
    const double beside = d * (1.0 - d * d);
    const double value = std::abs(beside) > 1e-6 ? std::sin(std::numbers::pi * d) / (std::numbers::pi * beside) : 0.5;
    leakage_[k] = static_cast<float>(std::abs(value));
  }
}

FlutterSpectrum::Line FlutterSpectrum::transform_record(std::size_t length, const Weights& weights) noexcept {
  slow_.set_record({rate_hz_, size_, length});
  std::fill(frame_.begin(), frame_.end(), 0.0F);
  if (weights.voids) {
    transform_weights(length, weights.sum);
  } else {
    slow_.load_hann();
    hann_leakage(static_cast<double>(length) / rate_hz_);
  }
  const Line line = fit_line(length, weights.sum);
  for (std::size_t n = 0; n < length; ++n) {
    const double straight = line.mean + line.slope * (static_cast<double>(n) - line.middle);
    frame_[n] = weights_[n] * static_cast<float>(static_cast<double>(ring_[ring_at(n, length)]) - straight);
  }
  slow_.load(transform(weights.sum, peak_percent_, 2.0));
  for (std::size_t k = 0; k < power_.size(); ++k) power_[k] = peak_percent_[k] * peak_percent_[k];
  return line;
}

std::optional<FlutterSpectrumView> FlutterSpectrum::analyse(std::optional<double> noise_to_carrier) noexcept {
  const std::size_t length = held_;
  const double span_s = static_cast<double>(length) / rate_hz_;
  if (span_s < kLeastS) return std::nullopt;
  const Weights weights = fill_weights(length);
  if (weights.sum < kLeastSound * 0.5 * static_cast<double>(length)) return std::nullopt;

  const Line line = transform_record(length, weights);
  // Noise of one-sided density S reads 2 S rate sum(w^2) / sum(w)^2; that of the deviation is (100 / nominal)^2 N0/C
  // f^2.
  const double density = noise_to_carrier.value_or(0.0) * std::pow(100.0 / config_.nominal_hz, 2.0);
  const DeviationSpectrum spectrum{
      .power = power_,
      .leakage = leakage_,
      .bin_hz = rate_hz_ / static_cast<double>(size_),
      .span_s = span_s,
      .lowest_hz = std::max(kLowestHz, kLeastTurns / span_s),
      .noise_power_hz2 = 2.0 * density * rate_hz_ * weights.squares / (weights.sum * weights.sum)};
  const double drift = line.slope * rate_hz_;
  const auto peaks = peaks_.find(spectrum);
  return FlutterSpectrumView{peak_percent_, spectrum.bin_hz,    span_s,
                             2.0 / span_s,  spectrum.lowest_hz, movers_.refine(peaks, slow_, peaks_, drift)};
}

}  // namespace four76
