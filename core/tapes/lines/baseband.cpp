#include "core/tapes/lines/baseband.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "core/signal/filters.hpp"

namespace four76 {

namespace {
constexpr double kTau = 2.0 * std::numbers::pi;
constexpr double kAttenuation_db = 60.0;  // derived: a line 30 dB below the music stays above what folds over it

// Eight sums side by side, so that the compiler can keep them in one register.
float product(const float* taps, const float* samples, std::size_t count) noexcept {
  float sums[8] = {};
  for (std::size_t k = 0; k < count; k += 8)
    for (std::size_t i = 0; i < 8; ++i) sums[i] += taps[k + i] * samples[k + i];
  return ((sums[0] + sums[1]) + (sums[2] + sums[3])) + ((sums[4] + sums[5]) + (sums[6] + sums[7]));
}
}  // namespace

Baseband::Baseband(const Config& config)
    : channels_(static_cast<std::size_t>(config.channels)),
      decimation_(static_cast<std::size_t>(config.sample_rate_hz / config.least_rate_hz)),
      rate_hz_(config.sample_rate_hz / static_cast<double>(decimation_)) {
  const auto taps = design_lowpass({config.sample_rate_hz, config.pass_hz, rate_hz_ - config.pass_hz, kAttenuation_db});
  const std::size_t padded = (taps.size() + 7) / 8 * 8, lead = padded - taps.size();
  in_phase_.assign(padded, 0.0F);
  quadrature_.assign(padded, 0.0F);
  const double cycles = config.centre_hz / config.sample_rate_hz;
  for (std::size_t i = 0; i < taps.size(); ++i) {
    const double angle = kTau * std::remainder(cycles * static_cast<double>(taps.size() - 1 - i), 1.0);
    in_phase_[lead + i] = static_cast<float>(2.0 * taps[i] * std::cos(angle));
    quadrature_[lead + i] = static_cast<float>(2.0 * taps[i] * std::sin(angle));
  }
  delay_s_ = 0.5 * static_cast<double>(taps.size() - 1) / config.sample_rate_hz;
  turn_cycles_ = std::remainder(cycles * static_cast<double>(decimation_), 1.0);
  room_ = padded + std::max<std::size_t>(4096, decimation_);
  input_.assign(room_ * channels_, 0.0F);
  end_ = padded;
}

bool Baseband::push(std::span<const float> frame) noexcept {
  const std::size_t taps = in_phase_.size();
  if (end_ == room_) {
    for (std::size_t c = 0; c < channels_; ++c) {
      const auto from = input_.begin() + static_cast<std::ptrdiff_t>(c * room_);
      std::copy(from + static_cast<std::ptrdiff_t>(room_ - taps), from + static_cast<std::ptrdiff_t>(room_), from);
    }
    end_ = taps;
  }
  for (std::size_t c = 0; c < channels_; ++c) input_[c * room_ + end_] = std::isfinite(frame[c]) ? frame[c] : 0.0F;
  ++end_;
  if (until_output_ > 0) {
    --until_output_;
    return false;
  }
  until_output_ = decimation_ - 1;
  cycles_ = std::remainder(cycles_ + turn_cycles_, 1.0);
  return true;
}

std::complex<float> Baseband::output(int channel) const noexcept {
  const std::size_t taps = in_phase_.size();
  const float* samples = input_.data() + static_cast<std::size_t>(channel) * room_ + end_ - taps;
  const std::complex<float> band{product(in_phase_.data(), samples, taps), product(quadrature_.data(), samples, taps)};
  return band * std::polar(1.0F, static_cast<float>(-kTau * cycles_));
}

}  // namespace four76
