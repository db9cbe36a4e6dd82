#include "core/tone/spectrum_picture.hpp"

#include <algorithm>
#include <cmath>

#include "core/signal/spectrum.hpp"
#include "core/signal/statistics.hpp"

namespace four76 {

namespace {

constexpr double kPeakOverFloor = 60.0;  // power, about 18 dB
constexpr float kFloorDbfs = -160.0F;
constexpr std::size_t kApart = 6;  // bins: no two marks on one hump
constexpr double kHumBelowHz = 1000.0;
constexpr double kCompetesWithinShare = 0.25;
constexpr double kCompetesAboveDb = -40.0;  // of the tone

void name_peak(SpectrumPeak& peak, std::optional<double> tone_hz, double tone_dbfs, double bin_hz) noexcept {
  using Kind = SpectrumPeak::Kind;
  peak.kind = Kind::other;
  if (tone_hz && std::abs(peak.frequency_hz - *tone_hz) < std::max(2.5 * bin_hz, 0.004 * *tone_hz)) {
    peak.kind = Kind::tone;
    return;
  }
  // Hum is found low down, where its harmonics are strong and lie far enough apart to be told from chance.
  if (const auto mains = mains_of(peak.frequency_hz, 0.25 * bin_hz); mains && peak.frequency_hz < kHumBelowHz) {
    peak.kind = Kind::mains_harmonic;
    peak.mains_hz = *mains;
    return;
  }
  const bool near = tone_hz && std::abs(peak.frequency_hz / *tone_hz - 1.0) < kCompetesWithinShare;
  if (near && peak.level_dbfs > tone_dbfs + kCompetesAboveDb) peak.kind = Kind::competing;
}

}  // namespace

SpectrumPicture::SpectrumPicture(std::size_t bins) : level_dbfs_(bins), scratch_(bins) {}

void SpectrumPicture::set_levels(std::span<const float> power) noexcept {
  for (std::size_t k = 0; k < power.size(); ++k)
    level_dbfs_[k] = power[k] > 1e-16F ? 10.0F * std::log10(power[k]) : kFloorDbfs;
}

double SpectrumPicture::level_at(double hz, double first_hz, double bin_hz) const noexcept {
  const double top = static_cast<double>(level_dbfs_.size() - 1);
  const double bin = std::clamp(std::round((hz - first_hz) / bin_hz), 0.0, top);
  return static_cast<double>(level_dbfs_[static_cast<std::size_t>(bin)]);
}

bool SpectrumPicture::tops_its_neighbours(std::span<const float> power, std::size_t bin) const noexcept {
  const std::size_t from = bin > kApart ? bin - kApart : 0;
  const auto around = power.subspan(from, std::min(power.size(), bin + kApart + 1) - from);
  return std::max_element(around.begin(), around.end()) - around.begin() == static_cast<std::ptrdiff_t>(bin - from);
}

void SpectrumPicture::keep_strongest(const SpectrumPeak& peak) noexcept {
  std::size_t at = peak_count_;
  while (at > 0 && peaks_[at - 1].level_dbfs < peak.level_dbfs) --at;
  if (at >= kMostPeaks) return;
  const std::size_t kept = std::min(peak_count_, kMostPeaks - 1);
  for (std::size_t i = kept; i > at; --i) peaks_[i] = peaks_[i - 1];
  peaks_[at] = peak;
  peak_count_ = kept + 1;
}

SpectrumView SpectrumPicture::draw(std::span<const float> power, double first_hz, double bin_hz,
                                   std::optional<double> tone_hz) noexcept {
  set_levels(power);
  peak_count_ = 0;
  if (power.size() >= 8) {
    std::copy(power.begin(), power.end(), scratch_.begin());
    const auto floor = static_cast<double>(median_of(std::span(scratch_).first(power.size())));
    const double tone_dbfs = tone_hz ? level_at(*tone_hz, first_hz, bin_hz) : 0.0;
    for (std::size_t k = 2; k + 2 < power.size(); ++k) {
      const bool high = static_cast<double>(power[k]) >= kPeakOverFloor * floor && power[k] >= 1e-12F;
      if (!high || !tops_its_neighbours(power, k)) continue;
      const auto level = [&](std::size_t i) { return static_cast<double>(level_dbfs_[i]); };
      const auto top = parabolic_peak(level(k - 1), level(k), level(k + 1));
      SpectrumPeak peak;
      peak.frequency_hz = first_hz + (static_cast<double>(k) + top.offset_bins) * bin_hz;
      peak.level_dbfs = level(k) + top.rise;
      name_peak(peak, tone_hz, tone_dbfs, bin_hz);
      keep_strongest(peak);
    }
  }
  return {level_dbfs_, first_hz, bin_hz, {peaks_.data(), peak_count_}};
}

SpectrumView SpectrumPicture::draw_around(std::span<const float> power, double first_hz, double bin_hz, double tone_hz,
                                          const Interferers& lines) noexcept {
  using Kind = SpectrumPeak::Kind;
  set_levels(power);
  peaks_[0] = {tone_hz, level_at(tone_hz, first_hz, bin_hz), Kind::tone, 0.0};
  peak_count_ = 1;
  for (const Interferer& line : lines.all()) {
    if (peak_count_ == kMostPeaks) break;
    const Kind kind = line.mains_hz > 0.0 ? Kind::mains_harmonic : Kind::competing;
    peaks_[peak_count_++] = {line.frequency_hz, level_at(line.frequency_hz, first_hz, bin_hz), kind, line.mains_hz};
  }
  return {level_dbfs_, first_hz, bin_hz, {peaks_.data(), peak_count_}};
}

}  // namespace four76
