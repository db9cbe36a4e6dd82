#include "core/song/song_wow.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include "core/signal/fft.hpp"
#include "core/signal/spectrum.hpp"
#include "core/signal/statistics.hpp"
#include "core/song/phase_correlator.hpp"

namespace four76 {
namespace {
constexpr std::size_t kPoints = 64;
constexpr std::size_t kHop = 16;
constexpr std::size_t kLeastHeld = 52;
constexpr std::size_t kMostGap = 3;
constexpr std::size_t kLeastSegments = 4;
constexpr double kBin_hz = 1.0 / (DelayTrack::kStep_s * kPoints);
constexpr std::size_t kFirstBin = 2;   // 0.31 Hz: below, the segment's own trend is taken out
constexpr std::size_t kWowBins = 23;   // to 3.6 Hz: ten points a second turn 6 Hz into 4
constexpr std::size_t kNoiseBin = 28;  // from 4.4 Hz
constexpr double kFlutterShare = 0.3;  // of the power: what flutter beyond may add (four76_song_scenes)
constexpr double kStray = 4.0;         // of the segments' median power: the track slipped there

using Segment = std::array<float, kPoints>;
using Powers = std::array<double, kPoints / 2>;

// The leads of a segment less their straight line; nothing where too many are missing.
std::optional<Segment> leads_of(std::span<const DelayPoint> points) {
  Segment leads{};
  std::size_t held = 0;
  std::size_t before = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (points[i].piece != points[0].piece) return std::nullopt;
    if (!points[i].held) continue;
    if (i - before > kMostGap + 1 || (held == 0 && i > kMostGap)) return std::nullopt;
    const double from_s = held > 0 ? points[before].lead_s : points[i].lead_s;
    const std::size_t first = held > 0 ? before + 1 : 0;
    for (std::size_t k = first; k <= i; ++k) {
      const double share = i > before ? static_cast<double>(k - before) / static_cast<double>(i - before) : 1.0;
      leads[k] = static_cast<float>(from_s + share * (points[i].lead_s - from_s) - points[0].lead_s);
    }
    before = i;
    ++held;
  }
  if (held < kLeastHeld || points.size() - 1 - before > kMostGap) return std::nullopt;
  for (std::size_t k = before + 1; k < points.size(); ++k) leads[k] = leads[before];
  double xx = 0.0, xy = 0.0, mean = 0.0;
  for (std::size_t k = 0; k < kPoints; ++k) {
    const double x = static_cast<double>(k) - 0.5 * (kPoints - 1);
    mean += static_cast<double>(leads[k]) / kPoints;
    xx += x * x;
    xy += x * static_cast<double>(leads[k]);
  }
  for (std::size_t k = 0; k < kPoints; ++k)
    leads[k] -= static_cast<float>(mean + xy / xx * (static_cast<double>(k) - 0.5 * (kPoints - 1)));
  return leads;
}

// What a window passes of a noise of the leads that is independent from one moment to the next.
double window_passes(double rate_hz) {
  constexpr int kSteps = 200;
  double sum = 0.0;
  double weights = 0.0;
  for (int i = 0; i < kSteps; ++i) {
    const double t_s = (static_cast<double>(i) + 0.5 - 0.5 * kSteps) / kSteps * PhaseCorrelator::kWindow_s;
    const double hann = 0.5 + 0.5 * std::cos(2.0 * std::numbers::pi * t_s / PhaseCorrelator::kWindow_s);
    weights += hann * hann;
    sum += hann * hann * std::cos(2.0 * std::numbers::pi * rate_hz * t_s);
  }
  return sum / weights;
}

// What the track passes of the wow's lead: measured with sinusoids (song_test), a straight line between.
double track_passes(double rate_hz) noexcept {
  constexpr std::array<std::array<double, 2>, 5> kPassed{
      {{0.0, 1.0}, {1.5, 1.0}, {2.2, 0.94}, {3.0, 0.56}, {3.6, 0.36}}};
  std::size_t above = 1;
  while (above + 1 < kPassed.size() && kPassed[above][0] < rate_hz) ++above;
  const auto& low = kPassed[above - 1];
  const auto& high = kPassed[above];
  return low[1] + (high[1] - low[1]) * (rate_hz - low[0]) / (high[0] - low[0]);
}

// Power of the lead in each bin, s^2.
std::vector<Powers> powers_of(std::span<const DelayPoint> points) {
  RealFft fft(kPoints);
  const auto window = hann_window(kPoints);
  constexpr double kScale = 2.0 / (0.375 * kPoints * kPoints);  // Hann's mean square
  std::vector<Powers> all;
  for (std::size_t first = 0; first + kPoints <= points.size(); first += kHop) {
    auto leads = leads_of(points.subspan(first, kPoints));
    if (!leads) continue;
    for (std::size_t k = 0; k < kPoints; ++k) (*leads)[k] *= window[k];
    const auto bins = fft.transform(*leads);
    Powers powers{};
    for (std::size_t k = 1; k < powers.size(); ++k) powers[k] = kScale * static_cast<double>(std::norm(bins[k]));
    all.push_back(powers);
  }
  return all;
}

double omega_square(std::size_t bin) noexcept {
  const double omega = 2.0 * std::numbers::pi * kBin_hz * static_cast<double>(bin);
  return omega * omega;
}

// Squared speed deviation up to the last bin, what the track withheld given back.
double wow_power(const Powers& powers) noexcept {
  double sum = 0.0;
  for (std::size_t k = kFirstBin; k <= kWowBins; ++k) {
    const double passed = track_passes(kBin_hz * static_cast<double>(k));
    sum += omega_square(k) * powers[k] / (passed * passed);
  }
  return sum;
}

// The leads' noise in each bin: the windows shape it, and above the wow nothing else is left.
Powers noise_of(const Powers& mean) {
  std::vector<double> white;
  for (std::size_t k = kNoiseBin; k < mean.size(); ++k) {
    const double passed = window_passes(kBin_hz * static_cast<double>(k));
    white.push_back(mean[k] / (passed * passed));
  }
  Powers noise{};
  const double level = median_of(white);
  for (std::size_t k = kFirstBin; k <= kWowBins; ++k) {
    const double passed = window_passes(kBin_hz * static_cast<double>(k));
    noise[k] = std::min(mean[k], level * passed * passed);
  }
  return noise;
}
}  // namespace

std::optional<SongWow> wow_of(std::span<const DelayPoint> points) {
  auto all = powers_of(points);
  std::vector<double> totals;
  for (const Powers& powers : all) totals.push_back(wow_power(powers));
  if (totals.size() < kLeastSegments) return std::nullopt;
  const double most = kStray * median_of(totals);
  std::erase_if(all, [&](const Powers& powers) { return wow_power(powers) > most; });
  if (all.size() < kLeastSegments) return std::nullopt;
  Powers mean{};
  for (const Powers& powers : all)
    for (std::size_t k = 0; k < mean.size(); ++k) mean[k] += powers[k] / static_cast<double>(all.size());
  const double noise = wow_power(noise_of(mean));
  const double total = wow_power(mean);
  const double power = std::max(0.0, total - noise);
  double spread = 0.0;
  for (const Powers& powers : all) {
    const double off = wow_power(powers) - total;
    spread += off * off / static_cast<double>(all.size());
  }
  // Segments overlap by three quarters: 6.4 s of them make one independent one and a half (Welch 1967).
  const double independent = std::max(2.0, static_cast<double>(all.size()) * 1.5 * kHop / kPoints);
  const double spread95 = student_t95(independent - 1.0) * std::sqrt(spread / (independent - 1.0));
  const double power95 = std::hypot(spread95, 0.5 * noise, kFlutterShare * power);
  const double rms = std::sqrt(power);
  return SongWow{100.0 * rms, 100.0 * (std::sqrt(power + power95) - rms)};
}

}  // namespace four76
