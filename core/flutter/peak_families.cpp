#include "core/flutter/peak_families.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "core/signal/sort_few.hpp"

namespace four76 {
namespace {

constexpr double kBias = 0.1, kUnsteadyBias = 0.5;  // of the resolution
constexpr double kMostChance = 0.2;
constexpr double kStrongestLow = 5.0, kStrongestHigh = 2.0;
constexpr double kLeastTurns = 2.5, kLeastOut = 1.5;

using Order = ShortList<std::size_t, FlutterPeaks::kMost>;

class Gathering {
 public:
  Gathering(std::span<const FlutterPeak> peaks, const FamilyTerms& terms) noexcept : peaks_(peaks), terms_(terms) {}

  void take(std::size_t index) noexcept {
    if (PeakFamily* const family = find_root(index))
      family->members.add({index, multiple(peaks_[index], *family)});
    else
      found_.add(alone(index));
  }
  // Peaks at 2 and 3 times an entered rate that does not stand out itself.
  void join_orphans() noexcept {
    for (std::size_t i = 0; i < found_.size(); ++i)
      for (std::size_t k = i + 1; k < found_.size(); ++k)
        if (are_orphans(found_[i], found_[k])) join(i, k);
  }
  [[nodiscard]] const PeakFamilies& found() const noexcept { return found_; }

 private:
  [[nodiscard]] PeakFamily alone(std::size_t index) const noexcept {
    const FlutterPeak& peak = peaks_[index];
    PeakFamily family;
    family.rate_hz = peak.rate_hz;
    family.rate_u95_hz = peak.rate_u95_hz;
    family.steady = peak.steady;
    family.moving =
        peak.moving && std::isfinite(peak.change_hz_per_minute) && std::isfinite(peak.change_u95_hz_per_minute);
    if (family.moving) {
      family.change_hz_per_minute = peak.change_hz_per_minute;
      family.change_u95_hz_per_minute = std::abs(peak.change_u95_hz_per_minute);
    }
    family.members.add({index, 1});
    return family;
  }

  static int multiple(const FlutterPeak& peak, const PeakFamily& family) noexcept {
    return static_cast<int>(std::lround(std::min(peak.rate_hz / family.rate_hz, 100.0)));
  }
  [[nodiscard]] double tolerance_hz(double u95_hz, const PeakFamily& family, int n, bool steady) const noexcept {
    return std::hypot(u95_hz, n * family.rate_u95_hz) + (steady ? kBias : kUnsteadyBias) * terms_.resolution_hz;
  }
  [[nodiscard]] double strongest(const PeakFamily& family) const noexcept {
    double most = 0.0;
    for (const FamilyMember& member : family.members) most = std::max(most, peaks_[member.peak].peak_percent);
    return most;
  }

  [[nodiscard]] bool moves_along(const FlutterPeak& peak, const PeakFamily& family, int n) const noexcept {
    if (!family.moving) return !peak.moving;
    const double expected = n * family.change_hz_per_minute;
    if (!peak.moving) return std::abs(expected) * terms_.span_s / 60.0 < 1.5 * terms_.resolution_hz;
    return std::abs(peak.change_hz_per_minute - expected) <=
           std::hypot(peak.change_u95_hz_per_minute, n * family.change_u95_hz_per_minute) + 0.1 * std::abs(expected);
  }
  [[nodiscard]] bool is_entered(double rate_hz) const noexcept {
    return std::any_of(terms_.entered.begin(), terms_.entered.end(),
                       [&](const RateRange& range) { return rate_hz >= range.low_hz && rate_hz <= range.high_hz; });
  }
  [[nodiscard]] bool belongs(const FlutterPeak& peak, const PeakFamily& family) const noexcept {
    const int n = multiple(peak, family);
    if (n < 2 || n > kHighestHarmonic) return false;
    // A fourth multiple and higher does not come alone: a capstan of 2 mm turns six times as fast as a roller of 12 mm.
    if (n > 3 && family.members.size() < 2) return false;
    const double tolerance = tolerance_hz(peak.rate_u95_hz, family, n, peak.steady && family.steady);
    if (std::abs(peak.rate_hz - n * family.rate_hz) > tolerance) return false;
    if (2.0 * tolerance > kMostChance * family.rate_hz) return false;
    const FlutterPeak& root = peaks_[family.members[0].peak];
    const double most = n <= 3 ? kStrongestLow * root.peak_percent : kStrongestHigh / n * strongest(family);
    if (peak.peak_percent > most) return false;
    if (peak.peak_percent > root.peak_percent && is_entered(peak.rate_hz)) return false;
    return moves_along(peak, family, n);
  }
  PeakFamily* find_root(std::size_t index) noexcept {
    PeakFamily* best = nullptr;
    for (PeakFamily& family : found_)  // the highest root that fits: the simplest explanation
      if (belongs(peaks_[index], family)) best = &family;
    return best;
  }

  [[nodiscard]] bool are_orphans(const PeakFamily& low, const PeakFamily& high) const noexcept {
    if (low.moving || high.moving || low.members.size() > 1 || high.members.size() > 1) return false;
    const double root_hz = low.rate_hz / 2.0;
    const double tolerance = tolerance_hz(high.rate_u95_hz, low, 2, low.steady && high.steady);
    return std::abs(high.rate_hz - 3.0 * root_hz) <= tolerance && 2.0 * tolerance <= kMostChance * root_hz &&
           is_entered(root_hz) && !is_entered(low.rate_hz) && !is_entered(high.rate_hz);
  }
  void join(std::size_t low, std::size_t high) noexcept {
    PeakFamily& family = found_[low];
    family.rate_hz /= 2.0;
    family.rate_u95_hz /= 2.0;
    family.steady = family.steady && found_[high].steady;
    family.members[0].harmonic = 2;
    family.members.add({found_[high].members[0].peak, 3});
    for (std::size_t i = high; i + 1 < found_.size(); ++i) found_[i] = found_[i + 1];
    found_.shorten(found_.size() - 1);
  }

  std::span<const FlutterPeak> peaks_;
  const FamilyTerms& terms_;
  PeakFamilies found_;
};

}  // namespace

bool is_usable(const FlutterPeak& peak, double span_s) noexcept {
  const bool sane = std::isfinite(peak.rate_hz) && std::isfinite(peak.rate_u95_hz) &&
                    std::isfinite(peak.peak_percent) && std::isfinite(peak.peak_u95_percent);
  return sane && !peak.foreign && peak.rate_hz > 0.0 && peak.rate_hz <= 250.0 && peak.rate_u95_hz >= 0.0 &&
         peak.rate_u95_hz < 0.2 * peak.rate_hz && peak.peak_u95_percent >= 0.0 && peak.peak_percent > 0.0 &&
         peak.peak_percent <= 100.0 && peak.peak_percent >= kLeastOut * peak.peak_u95_percent &&
         peak.rate_hz * span_s >= kLeastTurns;
}

PeakFamilies find_families(std::span<const FlutterPeak> peaks, const FamilyTerms& terms) noexcept {
  Order order;
  for (std::size_t i = 0; i < std::min(peaks.size(), FlutterPeaks::kMost); ++i)
    if (is_usable(peaks[i], terms.span_s)) order.add(i);
  sort_few(order.begin(), order.end(),
           [&](std::size_t a, std::size_t b) { return peaks[a].rate_hz < peaks[b].rate_hz; });
  Gathering gathering(peaks, terms);
  for (const std::size_t index : order) gathering.take(index);
  gathering.join_orphans();
  return gathering.found();
}

}  // namespace four76
