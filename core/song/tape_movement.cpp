#include "core/song/tape_movement.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace four76 {
namespace {
constexpr double kTau = 2.0 * std::numbers::pi;
}  // namespace

TapeMovement::TapeMovement() {
  for (std::size_t i = 0; i < kFrame; ++i)
    window_[i] = static_cast<float>(0.5 - 0.5 * std::cos(kTau * (static_cast<double>(i) + 0.5) / kFrame));
}

std::span<const std::complex<float>> TapeMovement::spectrum_of(std::span<const float> samples) noexcept {
  std::array<float, kFrame> frame;
  for (std::size_t i = 0; i < kFrame; ++i) frame[i] = window_[i] * samples[i];
  return fft_.transform(frame);
}

TapeMovement::Frame TapeMovement::next(std::span<const float> tape, std::span<const float> reference) noexcept {
  std::array<Complex, kLastBin> cross;
  const auto of_tape = spectrum_of(tape);
  std::copy_n(of_tape.begin(), kLastBin, cross.begin());
  const auto of_reference = spectrum_of(reference);
  double top = 0.0;
  double bottom = 0.0;
  double loudness = 0.0;
  for (std::size_t k = kFirstBin; k < kLastBin; ++k) {
    loudness += static_cast<double>(std::abs(of_reference[k]));
    cross[k] *= std::conj(of_reference[k]);
    const Complex turned = cross[k] * std::conj(before_[k]);
    const auto size = static_cast<double>(std::abs(turned));
    if (size < 1e-20) continue;
    const double omega = kTau * kSongRate_hz / kFrame * static_cast<double>(k);
    const double root = std::sqrt(std::sqrt(size));
    top += root * omega * static_cast<double>(turned.imag()) / size;
    bottom += root * omega * omega;
  }
  before_ = cross;
  return {static_cast<float>(top), static_cast<float>(bottom), static_cast<float>(loudness)};
}

}  // namespace four76
