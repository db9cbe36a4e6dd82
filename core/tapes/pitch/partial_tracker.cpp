#include "core/tapes/pitch/partial_tracker.hpp"

#include <cmath>
#include <numbers>

#include "core/signal/spectrum.hpp"
#include "core/signal/statistics.hpp"

namespace four76 {
namespace {

// Tuned: on two speeds of 42 recordings of music (tests/data/music.txt); longer windows and other partings agree worse.
constexpr std::size_t kLongWindow = 4096, kShortWindow = 2048;
constexpr double kParting_hz = 500.0;
constexpr double kLowest_hz = 100.0;         // below, a semitone is less than two bins
constexpr double kHighest_hz = 4000.0;       // above, worn tapes keep little
constexpr std::size_t kFloorBins = 64;       // the noise beside a peak is the median of so many
constexpr float kOverFloor = 6.0F;           // 8 dB; tuned as the windows
constexpr float kUnderLoudest = 1e-5F;       // 50 dB under the loudest partial lie side lobes and hiss
constexpr double kSamePartial_cents = 30.0;  // from frame to frame; less than a third of a semitone
constexpr std::size_t kMostPartials = 96;    // in a frame; an orchestra shows some 40

double cents_of(double hz) noexcept { return 1200.0 * std::log2(hz / 440.0); }

bool is_peak(std::span<const float> power, std::size_t k) noexcept {
  return power[k] > power[k - 1] && power[k] >= power[k + 1] && power[k] > power[k - 2] && power[k] >= power[k + 2];
}

}  // namespace

PartialTracker::Band::Band(std::size_t size, double low_hz, double high_hz)
    : fft(size),
      window(hann_window(size)),
      windowed(size),
      power(size / 2 + 1),
      sorted(kFloorBins),
      now(size / 2 + 1),
      before(size / 2 + 1),
      first(static_cast<std::size_t>(low_hz / kSongRate_hz * static_cast<double>(size))),
      last(static_cast<std::size_t>(high_hz / kSongRate_hz * static_cast<double>(size))) {}

PartialTracker::PartialTracker()
    : bands_{Band(kLongWindow, kLowest_hz, kParting_hz), Band(kShortWindow, kParting_hz, kHighest_hz)},
      ring_(kLongWindow) {
  found_.reserve(kMostPartials);
  last_.reserve(kMostPartials);
}

void PartialTracker::reset() noexcept {
  fill_ = 0;
  found_.clear();
  last_.clear();
  for (Band& band : bands_) band.begun = false;
}

void PartialTracker::transform(Band& band) noexcept {
  const std::size_t size = band.fft.size();
  const float* from = ring_.data() + (ring_.size() - size) / 2;  // both windows have the same middle
  for (std::size_t n = 0; n < size; ++n) band.windowed[n] = band.window[n] * from[n];
  const auto spectrum = band.fft.transform(band.windowed);
  std::swap(band.now, band.before);
  std::copy(spectrum.begin(), spectrum.end(), band.now.begin());
  for (std::size_t k = 0; k < band.power.size(); ++k) band.power[k] = std::norm(band.now[k]);
}

double PartialTracker::frequency_at(const Band& band, std::size_t k) noexcept {
  const double turned =
      static_cast<double>(std::arg(band.now[k] * std::conj(band.before[k]))) / (2.0 * std::numbers::pi);
  const double bin = static_cast<double>(k) / static_cast<double>(band.fft.size());
  constexpr auto kStep = static_cast<double>(kMovementStep_samples);
  return (bin + wrap_cycles(turned - bin * kStep) / kStep) * kSongRate_hz;
}

void PartialTracker::find_in(Band& band) noexcept {
  const double size = static_cast<double>(band.fft.size());
  float floor = 0.0F;
  for (std::size_t k = band.first; k <= band.last && found_.size() < kMostPartials; ++k) {
    if ((k - band.first) % (kFloorBins / 2) == 0) {
      const std::size_t from = std::min(std::max(k, kFloorBins / 4) - kFloorBins / 4, band.power.size() - kFloorBins);
      std::copy_n(band.power.begin() + static_cast<std::ptrdiff_t>(from), kFloorBins, band.sorted.begin());
      floor = median_of(std::span(band.sorted));
    }
    if (!(band.power[k] > kOverFloor * floor) || !is_peak(band.power, k)) continue;
    const double hz = frequency_at(band, k);
    // What lies farther is of a stronger one beside it; a sample that is too large to be squared gives no number.
    if (!(std::abs(hz / kSongRate_hz * size - static_cast<double>(k)) <= 0.8)) continue;
    found_.push_back({.cents = cents_of(hz), .level = band.power[k] * static_cast<float>(1.0 / (size * size))});
  }
}

// Both lists rise in pitch: each partial finds the nearest of the frame before in one pass.
void PartialTracker::link() noexcept {
  std::size_t at = 0;
  for (Partial& partial : found_) {
    const auto apart = [&](std::size_t i) { return std::abs(last_[i].cents - partial.cents); };
    while (at + 1 < last_.size() && apart(at + 1) <= apart(at)) ++at;
    if (at >= last_.size() || apart(at) > kSamePartial_cents) continue;
    partial.age = last_[at].age + 1;
    partial.step = partial.cents - last_[at].cents;
  }
}

std::span<const Partial> PartialTracker::frame() noexcept {
  std::swap(found_, last_);
  found_.clear();
  for (Band& band : bands_) {
    transform(band);
    if (band.begun) find_in(band);
    band.begun = true;
  }
  float loudest = 0.0F;
  for (const Partial& partial : found_) loudest = std::max(loudest, partial.level);
  std::erase_if(found_, [&](const Partial& partial) { return !(partial.level >= kUnderLoudest * loudest); });
  std::sort(found_.begin(), found_.end(), [](const Partial& a, const Partial& b) { return a.cents < b.cents; });
  link();
  return found_;
}

}  // namespace four76
