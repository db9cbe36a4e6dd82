#include "core/tone/line_canceller.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace four76 {

namespace {

constexpr double kTwoPi = 2.0 * std::numbers::pi;
constexpr double kNotchHz = 0.2;  // far narrower than two tones stand apart
constexpr double kLookS = 0.25;
constexpr double kFollowShare = 0.1;  // of the turning since the last look: some seconds to follow a drift
constexpr double kMostStepHz = 0.02;

}  // namespace

LineCanceller::LineCanceller(double sample_rate_hz) noexcept
    : sample_rate_hz_(sample_rate_hz),
      gain_(kTwoPi * kNotchHz / sample_rate_hz),
      look_every_(static_cast<std::size_t>(kLookS * sample_rate_hz)) {}

void LineCanceller::start(const SteadyTone& tone) noexcept {
  on_ = true;
  frequency_hz_ = tone.frequency_hz;
  turn_ = std::polar(1.0, kTwoPi * frequency_hz_ / sample_rate_hz_);
  phasor_ = std::polar(1.0, kTwoPi * tone.cycles) * turn_;
  weight_ = weight_before_ = tone.amplitude;
  until_look_ = look_every_;
}

std::optional<double> LineCanceller::frequency_hz() const noexcept {
  return on_ ? std::optional(frequency_hz_) : std::nullopt;
}

void LineCanceller::process(std::span<float> samples) noexcept {
  if (!on_) return;
  for (float& x : samples) {
    const double left = static_cast<double>(x) - (weight_ * phasor_).real();
    weight_ += 2.0 * gain_ * left * std::conj(phasor_);
    phasor_ *= turn_;
    x = static_cast<float>(left);
    if (--until_look_ == 0) follow();
  }
}

// The phasor's length is mended as well: rounding lets it grow or shrink.
void LineCanceller::follow() noexcept {
  until_look_ = look_every_;
  const double turned = std::arg(weight_ * std::conj(weight_before_)) / kTwoPi;
  weight_before_ = weight_;
  const double step_hz = std::clamp(kFollowShare * turned / kLookS, -kMostStepHz, kMostStepHz);
  frequency_hz_ += step_hz;
  turn_ = std::polar(1.0, kTwoPi * frequency_hz_ / sample_rate_hz_);
  phasor_ /= std::abs(phasor_);
}

}  // namespace four76
