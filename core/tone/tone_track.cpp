#include "core/tone/tone_track.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

#include "core/signal/filters.hpp"
#include "core/signal/statistics.hpp"

namespace four76 {

namespace {

using std::numbers::pi;

constexpr double kPointRateHz = 1000.0;
constexpr double kModulationHz = 250.0;
constexpr double kSwing = 0.10;  // of the nominal, to either side
constexpr double kBandTransitionHz = 450.0;
constexpr double kSecondPassHz = 260.0;
constexpr double kRetuneShare = 0.02;  // of the nominal: how far the mean may wander before the band follows

constexpr double kLeastLoopHz = 10.0;
constexpr double kMostLoopHz = 250.0;    // for nominals up to 3 kHz; a higher tone swings through more hertz
constexpr double kFirstLoopHz = 80.0;    // until the noise is known
constexpr double kLoopHeadroom = 250.0;  // carrier to noise in the loop: 24 dB
constexpr double kCoastBelow = 0.25;     // of the tone's amplitude: nothing to follow, coast

struct BandEdges {
  double pass_hz, stop_hz;
};

// Low tones have their mirror image, hum and offset close by.
BandEdges band_edges(double nominal_hz) {
  const double pass_hz = std::min(kSwing * nominal_hz + kModulationHz, 0.5 * nominal_hz);
  return {pass_hz, std::min(pass_hz + kBandTransitionHz, 0.9 * nominal_hz)};
}

// Sum of a[k] b[k] with eight running sums, so that the compiler can use vector registers.
float dot(const float* a, const float* b, std::size_t count) noexcept {
  float sums[8] = {};
  std::size_t k = 0;
  for (; k + 8 <= count; k += 8)
    for (std::size_t i = 0; i < 8; ++i) sums[i] += a[k + i] * b[k + i];
  for (; k < count; ++k) sums[0] += a[k] * b[k];
  return ((sums[0] + sums[4]) + (sums[2] + sums[6])) + ((sums[1] + sums[5]) + (sums[3] + sums[7]));
}

double sum_of_squares(const std::vector<double>& taps) {
  double sum = 0.0;
  for (const double tap : taps) sum += tap * tap;
  return sum;
}

}  // namespace

ToneTrack::ToneTrack(const Config& config) : sample_rate_hz_(config.sample_rate_hz), nominal_hz_(config.nominal_hz) {
  const BandEdges edges = band_edges(nominal_hz_);
  const double span_hz = edges.pass_hz + edges.stop_hz;
  second_decimation_ = static_cast<std::size_t>(std::max(1.0, std::ceil(span_hz / kPointRateHz)));
  const double step = sample_rate_hz_ / (kPointRateHz * static_cast<double>(second_decimation_));
  decimation_ = static_cast<std::size_t>(std::max(1.0, std::min(std::round(step), sample_rate_hz_ / span_hz)));
  band_rate_hz_ = sample_rate_hz_ / static_cast<double>(decimation_);
  point_rate_hz_ = band_rate_hz_ / static_cast<double>(second_decimation_);

  prototype_ = design_lowpass({sample_rate_hz_, edges.pass_hz, std::min(edges.stop_hz, sample_rate_hz_ / 2.0), 80.0});
  const std::size_t length = prototype_.size();
  band_noise_hz_ = sample_rate_hz_ * sum_of_squares(prototype_);
  for (std::size_t k = 0; k + decimation_ < length; ++k)
    band_step_correlation_ += prototype_[k] * prototype_[k + decimation_];
  band_step_correlation_ /= sum_of_squares(prototype_);
  taps_in_phase_.resize(length);
  taps_quadrature_.resize(length);
  input_.resize(length + 8 * kLargestBlock);

  const double pass_hz = std::min(kSecondPassHz, edges.pass_hz);
  const auto second =
      design_lowpass({band_rate_hz_, pass_hz, std::min(point_rate_hz_ - pass_hz, band_rate_hz_ / 2.0), 80.0});
  second_taps_.assign(second.begin(), second.end());
  noise_bandwidth_hz_ = band_rate_hz_ * sum_of_squares(second);
  derotated_.resize(second_taps_.size());
  predictions_.resize(second_taps_.size());
  modulation_hz_ = std::min(kModulationHz, 0.4 * nominal_hz_);
  most_loop_hz_ = kMostLoopHz * std::max(1.0, nominal_hz_ / 3000.0);

  delay_s_ = (static_cast<double>(length - 1) / 2.0) / sample_rate_hz_ +
             (static_cast<double>(second.size() - 1) / 2.0) / band_rate_hz_;
  points_.resize(kLargestBlock / (decimation_ * second_decimation_) + 2);
  lock(nominal_hz_, 0);
}

void ToneTrack::lock(double frequency_hz, std::uint64_t first_sample) noexcept {
  tune(frequency_hz);
  std::fill(input_.begin(), input_.end(), 0.0F);
  input_end_ = prototype_.size();
  sample_count_ = first_sample;
  first_full_ = first_sample + prototype_.size();
  // Outputs fall on multiples of the decimation, whatever the first sample: results do not depend on when we locked.
  until_output_ = decimation_ - static_cast<std::size_t>(first_sample % decimation_);
  loop_hz_ = slow_hz_ = frequency_hz;
  loop_cycles_ = 0.0;
  amplitude_ = step_power_ = previous_in_phase_ = 0.0;
  loop_started_ = false;
  loop_steps_ = 0;
  ring_next_ = 0;
  std::fill(derotated_.begin(), derotated_.end(), std::complex<float>{});
  std::fill(predictions_.begin(), predictions_.end(), 0.0);
  until_point_ = second_taps_.size();  // the filter is full
  set_loop_bandwidth(kFirstLoopHz);
}

void ToneTrack::tune(double centre_hz) noexcept {
  centre_hz_ = centre_hz;
  const double step = 2.0 * pi * centre_hz / sample_rate_hz_;
  const double middle = (static_cast<double>(prototype_.size()) - 1.0) / 2.0;
  // The dot product runs from the oldest sample to the newest, k counting from the newest: hence the sign.
  for (std::size_t i = 0; i < prototype_.size(); ++i) {
    const double k = static_cast<double>(prototype_.size() - 1 - i);
    taps_in_phase_[i] = static_cast<float>(2.0 * prototype_[i] * std::cos(step * (k - middle)));
    taps_quadrature_[i] = static_cast<float>(2.0 * prototype_[i] * std::sin(step * (k - middle)));
  }
}

void ToneTrack::set_loop_bandwidth(double noise_bandwidth_hz) noexcept {
  constexpr double kDamping = 0.7071;
  const double step = noise_bandwidth_hz / 0.53 / band_rate_hz_;  // natural frequency times the time between outputs
  gain_phase_ = std::min(2.0 * kDamping * step, 0.6);
  gain_hz_ = std::min(step * step, 0.2) * band_rate_hz_;
}

std::span<const TrackPoint> ToneTrack::process(std::span<const float> samples) noexcept {
  assert(samples.size() <= kLargestBlock && "blocks of at most kLargestBlock samples");
  point_count_ = 0;
  const std::size_t length = prototype_.size();
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
    if (sample_count_ >= first_full_) step_loop(band_output(), sample_count_ - 1);
  }
  return std::span(points_).first(point_count_);
}

std::complex<double> ToneTrack::band_output() const noexcept {
  const float* newest = input_.data() + input_end_ - prototype_.size();
  return {static_cast<double>(dot(newest, taps_in_phase_.data(), prototype_.size())),
          static_cast<double>(dot(newest, taps_quadrature_.data(), prototype_.size()))};
}

void ToneTrack::step_loop(std::complex<double> analytic, std::uint64_t newest_sample) noexcept {
  if (!loop_started_) {
    loop_started_ = true;
    loop_cycles_ = std::arg(analytic) / (2.0 * pi);
  }
  const double predicted = loop_cycles_;
  const double angle = 2.0 * pi * (predicted - std::floor(predicted));
  const std::complex<double> seen = analytic * std::complex<double>(std::cos(angle), -std::sin(angle));
  derotated_[ring_next_] = std::complex<float>(seen);
  predictions_[ring_next_] = predicted;
  ring_next_ = (ring_next_ + 1) % derotated_.size();
  follow(seen);
  if (--until_point_ == 0) {
    until_point_ = second_decimation_;
    emit(newest_sample);
  }
}

void ToneTrack::follow(std::complex<double> seen) noexcept {
  ++loop_steps_;
  const double dt = 1.0 / band_rate_hz_;
  const bool coast = std::abs(seen) < kCoastBelow * amplitude_;
  const double error_cycles = coast ? 0.0 : std::arg(seen) / (2.0 * pi);
  loop_hz_ += gain_hz_ * error_cycles;
  loop_hz_ = std::clamp(loop_hz_, 0.6 * nominal_hz_, 1.5 * nominal_hz_);
  loop_cycles_ += gain_phase_ * error_cycles + loop_hz_ * dt;

  // Noise seen by the loop: differences of the in-phase part, which slow changes of level do not enter.
  const double keep = std::exp(-dt / 0.1);
  const double keep_now = std::min(keep, 1.0 - 1.0 / static_cast<double>(loop_steps_));
  amplitude_ = keep_now * amplitude_ + (1.0 - keep_now) * seen.real();
  const double step = seen.real() - previous_in_phase_;
  previous_in_phase_ = seen.real();
  if (loop_steps_ > 1) step_power_ = keep_now * step_power_ + (1.0 - keep_now) * step * step;
  if (loop_steps_ % 16 == 0 && loop_steps_ > static_cast<std::size_t>(0.05 * band_rate_hz_)) {
    const double variance = step_power_ / (2.0 * (1.0 - band_step_correlation_));
    const double amplitude = std::max(amplitude_, 1e-9);
    const double noise_to_carrier = 2.0 * variance / (amplitude * amplitude) / band_noise_hz_;
    set_loop_bandwidth(std::clamp(1.0 / (kLoopHeadroom * (noise_to_carrier + 1e-12)), kLeastLoopHz, most_loop_hz_));
  }

  const double slow_keep = std::exp(-dt / 0.3);
  slow_hz_ = slow_keep * slow_hz_ + (1.0 - slow_keep) * loop_hz_;
  if (std::abs(slow_hz_ - centre_hz_) > kRetuneShare * nominal_hz_) tune(slow_hz_);
}

void ToneTrack::emit(std::uint64_t newest_sample) noexcept {
  const std::size_t length = second_taps_.size();
  assert(length > 0);
  std::complex<float> sum = 0.0F;
  std::size_t at = ring_next_;  // the oldest
  for (std::size_t i = 0; i < length; ++i) {
    sum += second_taps_[i] * derotated_[at];
    if (++at == length) at = 0;
  }
  std::size_t centre = ring_next_ + length / 2;
  if (centre >= length) centre -= length;
  const double newest_s = static_cast<double>(newest_sample) / sample_rate_hz_;
  assert(point_count_ < points_.size());
  points_[point_count_++] = {newest_s - delay_s_, predictions_[centre], sum};
}

}  // namespace four76
