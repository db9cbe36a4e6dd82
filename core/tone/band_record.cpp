#include "core/tone/band_record.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <numbers>

#include "core/signal/filters.hpp"
#include "core/tone/tone_search.hpp"

namespace four76 {

namespace {

constexpr double kPass = 1.04 * kSearchRange;  // of the nominal: the range and a little more
constexpr double kRate = 0.8;                  // of the nominal: leaves half of it for the filter's slope
constexpr double kAttenuationDb = 60.0;        // tones within 12 dB of each other are looked for
constexpr double pi = std::numbers::pi;

}  // namespace

BandRecord::BandRecord(const Config& config)
    : sample_rate_hz_(config.sample_rate_hz),
      nominal_hz_(config.nominal_hz),
      rate_hz_(0.0),
      decimation_(
          std::max<std::size_t>(1, static_cast<std::size_t>(config.sample_rate_hz / (kRate * config.nominal_hz)))) {
  rate_hz_ = sample_rate_hz_ / static_cast<double>(decimation_);
  const double pass_hz = kPass * nominal_hz_;
  const auto taps = design_lowpass({sample_rate_hz_, pass_hz, rate_hz_ - pass_hz, kAttenuationDb});
  const double step = 2.0 * pi * nominal_hz_ / sample_rate_hz_;
  const double middle = (static_cast<double>(taps.size()) - 1.0) / 2.0;
  taps_in_phase_.resize(taps.size());
  taps_quadrature_.resize(taps.size());
  for (std::size_t i = 0; i < taps.size(); ++i) {
    const double k = static_cast<double>(taps.size() - 1 - i);  // from the newest sample
    taps_in_phase_[i] = static_cast<float>(2.0 * taps[i] * std::cos(step * (k - middle)));
    taps_quadrature_[i] = static_cast<float>(2.0 * taps[i] * std::sin(step * (k - middle)));
  }
  input_.resize(4 * taps.size() + decimation_);
  ring_.resize(std::bit_floor(std::max<std::size_t>(64, static_cast<std::size_t>(config.span_s * rate_hz_))));
  reset();
}

void BandRecord::reset() noexcept {
  std::fill(input_.begin(), input_.end(), 0.0F);
  input_end_ = taps_in_phase_.size();
  until_output_ = decimation_;
  sample_count_ = 0;
  turned_back_cycles_ = 0.0;
  ring_next_ = ring_size_ = 0;
}

double BandRecord::delay_s() const noexcept {
  const double middle = (static_cast<double>(taps_in_phase_.size()) - 1.0) / 2.0;
  return (middle + static_cast<double>(decimation_ - until_output_)) / sample_rate_hz_;
}

void BandRecord::process(std::span<const float> samples) noexcept {
  const std::size_t length = taps_in_phase_.size();
  while (!samples.empty()) {
    if (input_end_ == input_.size()) {
      std::copy(input_.end() - static_cast<std::ptrdiff_t>(length), input_.end(), input_.begin());
      input_end_ = length;
    }
    const std::size_t count = std::min({samples.size(), until_output_, input_.size() - input_end_});
    std::copy_n(samples.begin(), count, input_.begin() + static_cast<std::ptrdiff_t>(input_end_));
    input_end_ += count;
    sample_count_ += count;
    until_output_ -= count;
    samples = samples.subspan(count);
    if (until_output_ != 0) continue;
    until_output_ = decimation_;
    if (sample_count_ >= length) add();
  }
}

void BandRecord::add() noexcept {
  const std::size_t length = taps_in_phase_.size();
  const float* newest = input_.data() + input_end_ - length;
  std::complex<float> sum = 0.0F;
  for (std::size_t i = 0; i < length; ++i)
    sum += newest[i] * std::complex<float>(taps_in_phase_[i], taps_quadrature_[i]);
  // Turned back by the nominal's phase at the filter's centre.
  const double middle = (static_cast<double>(length) - 1.0) / 2.0;
  const double cycles = nominal_hz_ * (static_cast<double>(sample_count_ - 1) - middle) / sample_rate_hz_;
  turned_back_cycles_ = cycles - std::floor(cycles);
  const double angle = 2.0 * pi * turned_back_cycles_;
  ring_[ring_next_] =
      sum * std::complex<float>(static_cast<float>(std::cos(angle)), static_cast<float>(-std::sin(angle)));
  ring_next_ = (ring_next_ + 1) % ring_.size();
  ring_size_ = std::min(ring_size_ + 1, ring_.size());
}

std::size_t BandRecord::copy_newest(std::span<std::complex<float>> out) const noexcept {
  const std::size_t count = std::min(out.size(), ring_size_);
  for (std::size_t i = 0; i < count; ++i) out[i] = ring_[(ring_next_ + ring_.size() - count + i) % ring_.size()];
  return count;
}

}  // namespace four76
