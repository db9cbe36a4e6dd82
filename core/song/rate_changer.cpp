#include "core/song/rate_changer.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

#include "core/signal/filters.hpp"

namespace four76 {
namespace {
constexpr double kForget_s = 0.5;
constexpr double kOpposed = 0.3;  // of full agreement or its opposite: wide stereo lies between
constexpr std::size_t kPhases = 512;
constexpr double kBeta = 8.0;
constexpr std::size_t kRoom = 4096;  // samples that the ring takes before it is moved down

std::size_t half_taps_for(double step) { return static_cast<std::size_t>(std::ceil(16.0 * std::max(1.0, step))); }
}  // namespace

SincTable::SincTable(double cutoff, std::size_t half_taps) : half_taps_(half_taps) {
  const std::size_t taps = 2 * half_taps;
  rows_.resize((kPhases + 1) * taps);
  for (std::size_t phase = 0; phase <= kPhases; ++phase) {
    double sum = 0.0;
    float* const row = rows_.data() + phase * taps;
    for (std::size_t k = 0; k < taps; ++k) {
      const double u = static_cast<double>(k) - static_cast<double>(half_taps - 1) -
                       static_cast<double>(phase) / static_cast<double>(kPhases);
      const double x = 2.0 * std::numbers::pi * cutoff * u;
      const double edge = u / static_cast<double>(half_taps);
      const double window = bessel_i0(kBeta * std::sqrt(std::max(0.0, 1.0 - edge * edge))) / bessel_i0(kBeta);
      const double tap = (std::abs(x) < 1e-9 ? 1.0 : std::sin(x) / x) * window;
      row[k] = static_cast<float>(tap);
      sum += tap;
    }
    for (std::size_t k = 0; k < taps; ++k) row[k] = static_cast<float>(row[k] / sum);
  }
}

float SincTable::at(std::span<const float> samples, double position) const noexcept {
  const double whole = std::floor(position);
  const auto phase = static_cast<std::size_t>(std::lround((position - whole) * static_cast<double>(kPhases)));
  const auto taps = static_cast<std::ptrdiff_t>(2 * half_taps_);
  const float* const row = rows_.data() + phase * static_cast<std::size_t>(taps);
  const auto first = static_cast<std::ptrdiff_t>(whole) - static_cast<std::ptrdiff_t>(half_taps_) + 1;
  const auto size = static_cast<std::ptrdiff_t>(samples.size());
  const std::ptrdiff_t from = std::max<std::ptrdiff_t>(0, -first);
  const std::ptrdiff_t to = std::min(taps, size - first);
  float sum = 0.0F;
  if (from == 0 && to == taps) {
    // Four sums beside each other: the compiler may not reorder one.
    const float* const x = samples.data() + first;
    float s0 = 0.0F;
    float s1 = 0.0F;
    float s2 = 0.0F;
    float s3 = 0.0F;
    std::ptrdiff_t k = 0;
    for (; k + 4 <= taps; k += 4) {
      s0 += row[k] * x[k];
      s1 += row[k + 1] * x[k + 1];
      s2 += row[k + 2] * x[k + 2];
      s3 += row[k + 3] * x[k + 3];
    }
    for (; k < taps; ++k) s0 += row[k] * x[k];
    return (s0 + s1) + (s2 + s3);
  }
  for (std::ptrdiff_t k = from; k < to; ++k) sum += row[k] * samples[static_cast<std::size_t>(first + k)];
  return sum;
}

RateChanger::RateChanger(const Config& config)
    : config_(config),
      step_(config.sample_rate_hz / kSongRate_hz),
      table_(0.47 / std::max(1.0, step_), half_taps_for(step_)),
      ring_(kRoom + 2 * half_taps_for(step_) + 2) {
  assert(config.sample_rate_hz >= 8000.0 && config.sample_rate_hz <= 192000.0 && "8 to 192 kHz");
  assert((config.channels == 1 || config.channels == 2) && "mono or stereo");
  reset();
}

void RateChanger::reset() noexcept {
  std::fill(ring_.begin(), ring_.end(), 0.0F);
  fill_ = table_.half_taps();  // silence before the first sample
  next_position_ = static_cast<double>(fill_);
  together_ = strength_ = 0.0;
  forget_ = 1.0 / (kForget_s * config_.sample_rate_hz);
  opposed_ = false;
}

void RateChanger::push(std::span<const float> frame) noexcept {
  if (fill_ == ring_.size()) {
    const std::size_t keep = 2 * table_.half_taps() + 1;
    const std::size_t drop = fill_ - keep;
    std::copy(ring_.end() - static_cast<std::ptrdiff_t>(keep), ring_.end(), ring_.begin());
    fill_ = keep;
    next_position_ -= static_cast<double>(drop);
  }
  const auto heard = [](float sample) { return std::isfinite(sample) ? sample : 0.0F; };
  ring_[fill_++] = frame.size() == 2 ? mixed(heard(frame[0]), heard(frame[1])) : heard(frame[0]);
}

// A head or a plug that is wired the other way round on one side would leave nothing of the middle in the sum.
float RateChanger::mixed(float left, float right) noexcept {
  together_ += forget_ * (2.0 * left * right - together_);
  strength_ += forget_ * (static_cast<double>(left) * left + static_cast<double>(right) * right - strength_);
  if (std::abs(together_) > kOpposed * strength_) opposed_ = together_ < 0.0;
  return 0.5F * (opposed_ ? left - right : left + right);
}

bool RateChanger::next_ready() const noexcept {
  return next_position_ + static_cast<double>(table_.half_taps()) < static_cast<double>(fill_);
}

float RateChanger::next() noexcept {
  const float value = table_.at(std::span(ring_).first(fill_), next_position_);
  next_position_ += step_;
  return value;
}

}  // namespace four76
