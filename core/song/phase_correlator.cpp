#include "core/song/phase_correlator.hpp"

#include <algorithm>
#include <cmath>

#include "core/signal/sort_few.hpp"
#include "core/signal/spectrum.hpp"

namespace four76 {
namespace {
constexpr double kLowest_hz = 150.0;    // below, rumble and hum
constexpr double kHighest_hz = 5500.0;  // the song rate's own limit
constexpr double kLeastPower = 1e-10;   // mean square: -100 dBFS, below any converter's noise

constexpr std::size_t bin_of(double hz) {
  return static_cast<std::size_t>(hz / kSongRate_hz * static_cast<double>(PhaseCorrelator::kSize));
}
}  // namespace

PhaseCorrelator::PhaseCorrelator()
    : fft_(kSize),
      back_(kSize),
      window_(hann_window(kSize)),
      frame_(kSize),
      reference_(kSize),
      tape_(kSize / 2 + 1),
      heard_(kSize / 2 + 1),
      cross_(kSize) {}

bool PhaseCorrelator::set_tape(std::span<const float> tape, double middle_s) noexcept {
  const auto first =
      static_cast<std::ptrdiff_t>(std::lround(middle_s * kSongRate_hz)) - static_cast<std::ptrdiff_t>(kSize / 2);
  double power = 0.0;
  for (std::size_t n = 0; n < kSize; ++n) {
    const std::ptrdiff_t at = first + static_cast<std::ptrdiff_t>(n);
    const float sample =
        at >= 0 && at < static_cast<std::ptrdiff_t>(tape.size()) ? tape[static_cast<std::size_t>(at)] : 0.0F;
    frame_[n] = sample * window_[n];
    power += static_cast<double>(frame_[n]) * frame_[n];
  }
  tape_power_ = power / (0.375 * static_cast<double>(kSize));  // Hann's mean square
  const auto bins = fft_.transform(frame_);
  std::copy(bins.begin(), bins.end(), tape_.begin());
  return tape_power_ > kLeastPower;
}

void PhaseCorrelator::cross() noexcept {
  for (std::size_t n = 0; n < kSize; ++n) frame_[n] = reference_[n] * window_[n];
  const auto bins = fft_.transform(frame_);
  std::copy(bins.begin(), bins.end(), heard_.begin());
  std::fill(cross_.begin(), cross_.end(), std::complex<float>{});
  double sum = 0.0;
  double squares = 0.0;
  for (std::size_t k = bin_of(kLowest_hz); k < bin_of(kHighest_hz); ++k) {
    const std::complex<float> product = tape_[k] * std::conj(bins[k]);
    const float power = std::norm(product);
    if (power < 1e-24F) continue;
    const float weight = std::sqrt(std::sqrt(power));
    cross_[k] = product * (weight / std::sqrt(power));
    sum += weight;
    squares += static_cast<double>(weight) * weight;
  }
  sum_ = sum;
  z_scale_ = squares > 0.0 ? sum / std::sqrt(0.5 * 1.5 * squares) : 0.0;
}

std::size_t PhaseCorrelator::correlate(double reach_s, std::array<DelayPeak, 2 * kPeaks>& peaks) noexcept {
  cross();
  if (sum_ > 0.0) correlation_ = back_.transform(cross_);
  return peaks_within(reach_s, peaks);
}

std::size_t PhaseCorrelator::peaks_within(double reach_s, std::array<DelayPeak, 2 * kPeaks>& peaks) const noexcept {
  if (sum_ <= 0.0) return 0;
  const auto c = correlation_;
  const auto reach = static_cast<std::ptrdiff_t>(std::ceil(reach_s * kSongRate_hz));
  const auto value = [&](std::ptrdiff_t lag) {
    return static_cast<double>(c[static_cast<std::size_t>(lag) & (kSize - 1)].real()) / sum_;
  };
  std::array<std::size_t, 2> found{};  // of each polarity, peaks of the other one behind
  for (std::ptrdiff_t lag = -reach; lag <= reach; ++lag) {
    const bool inverted = value(lag) < 0.0;
    const double sign = inverted ? -1.0 : 1.0;
    const double here = sign * value(lag);
    const double before = sign * value(lag - 1);
    const double after = sign * value(lag + 1);
    if (here < before || here <= after) continue;
    const ParabolicPeak peak = parabolic_peak(before, here, after);
    const DelayPeak next{(static_cast<double>(lag) + peak.offset_bins) / kSongRate_hz, (here + peak.rise) * z_scale_,
                         here + peak.rise, inverted};
    const std::size_t base = inverted ? kPeaks : 0;
    std::size_t& count = found[inverted ? 1 : 0];
    if (count == kPeaks && peaks[base + kPeaks - 1].z >= next.z) continue;
    std::size_t at = count < kPeaks ? count++ : kPeaks - 1;
    for (; at > 0 && peaks[base + at - 1].z < next.z; --at) peaks[base + at] = peaks[base + at - 1];
    peaks[base + at] = next;
  }
  for (std::size_t i = 0; i < found[1]; ++i) peaks[found[0] + i] = peaks[kPeaks + i];
  const std::size_t total = found[0] + found[1];
  sort_few(peaks.begin(), peaks.begin() + static_cast<std::ptrdiff_t>(total),
           [](const DelayPeak& a, const DelayPeak& b) { return a.z > b.z; });
  return total;
}

bool PhaseCorrelator::curve(std::span<float> z) noexcept {
  cross();
  std::fill(z.begin(), z.end(), 0.0F);
  if (sum_ <= 0.0) return false;
  const auto c = back_.transform(cross_);
  const auto reach = static_cast<std::ptrdiff_t>(z.size() / 2);
  const auto scale = static_cast<float>(z_scale_ / sum_);
  for (std::ptrdiff_t lag = -reach; lag <= reach; ++lag)
    z[static_cast<std::size_t>(lag + reach)] = scale * c[static_cast<std::size_t>(lag) & (kSize - 1)].real();
  return true;
}

}  // namespace four76
