#include "core/flutter/peak_match.hpp"

#include <algorithm>
#include <cmath>

#include "core/signal/sort_few.hpp"

namespace four76 {
namespace {

// From memory, in the order of Part: how often each is at fault.
constexpr std::array<double, kPartCount> kPriors{0.25, 0.25, 0.1, 0.1, 0.2, 0.1, 0.05};
constexpr double kUnknownPrior = 0.1;
// From memory: how likely a fault shows at the n-th multiple and not at the rate itself.
constexpr std::array<double, kHighestHarmonic> kHarmonics{1.0, 0.1, 0.05, 0.02, 0.015, 0.015, 0.01, 0.01};
// A rotor of three poles is switched six times a turn (from memory).
constexpr std::array<double, kHighestHarmonic> kMotorHarmonics{1.0, 0.2, 0.2, 0.02, 0.02, 0.2, 0.01, 0.01};

constexpr double kEdge = 0.05, kEdgeDensity = 0.3;  // usual ranges do not end all at once
constexpr double kAgainst = 0.02;
constexpr double kThicknessRoom = 0.25;  // tapes and packs differ (from memory)
constexpr double kLeastProbability = 0.1;
// From memory: what shows at several multiples shows at its own rate as well.
constexpr double kMultiplesAlone = 0.2;
constexpr double kSameRate = 0.03;

double density(double rate_hz, double room_hz, const RateRange& range) noexcept {
  const double low = range.low_hz - room_hz, high = range.high_hz + room_hz;
  if (!(low > 0.0) || !(high > low)) return 0.0;
  const double full = 1.0 / std::log(high / low);
  if (rate_hz >= low && rate_hz <= high) return full;
  const bool near = rate_hz >= low * (1.0 - kEdge) && rate_hz <= high * (1.0 + kEdge);
  return near && range.knowledge == Knowledge::usual ? kEdgeDensity * full : 0.0;
}

bool is_a_tapes(const PeakFamily& family, int n, const MatchTerms& terms) noexcept {
  const double speed_mm_s = tape_speed_mm_s(terms.known) * (1.0 + terms.speed_error_percent / 100.0);
  const double rate_hz = family.rate_hz / n;
  const double thickness_um = implied_thickness_um(rate_hz, family.change_hz_per_minute / n, speed_mm_s);
  const double u95_um = implied_thickness_um(rate_hz, family.change_u95_hz_per_minute / n, speed_mm_s);
  double least_um = tape_thickness_um(TapeKind::c120), most_um = tape_thickness_um(TapeKind::c60);
  if (terms.known.tape_kind) least_um = most_um = tape_thickness_um(*terms.known.tape_kind);
  return thickness_um + u95_um >= least_um * (1.0 - kThicknessRoom) &&
         thickness_um - u95_um <= most_um * (1.0 + kThicknessRoom);
}

double movement(Part part, const PeakFamily& family, int n, const MatchTerms& terms) noexcept {
  if (!is_reel(part)) return family.moving ? kAgainst : 1.0;
  if (family.moving) {
    const bool rises = family.change_hz_per_minute > 0.0;
    if (rises != (part == Part::supply_reel)) return kAgainst * kAgainst;
    return is_a_tapes(family, n, terms) ? 3.0 : kAgainst;
  }
  return family.steady && terms.span_s >= span_to_see_a_reel_s(family, terms, n) ? 0.1 : 1.0;
}

double multiples(Part part, const PeakFamily& family) noexcept {
  if (family.members.size() < 2) return 1.0;
  return part == Part::belt ? 2.0 : part == Part::pinch_roller ? 1.5 : 1.0;
}

double not_taken(Part part, double part_hz, const MatchTerms& terms) noexcept {
  const std::optional<double>& taken_hz = terms.taken_hz[static_cast<std::size_t>(part)];
  return !taken_hz || std::abs(part_hz - *taken_hz) <= kSameRate * *taken_hz ? 1.0 : 0.05;
}

struct Weighed {
  double sum = 0.0, best = 0.0;
  int harmonic = 1;
};

Weighed weigh(Part part, const RateRange& range, const PeakFamily& family, const MatchTerms& terms) noexcept {
  Weighed weighed;
  const auto& harmonics = part == Part::motor ? kMotorHarmonics : kHarmonics;
  for (int n = 1; n <= kHighestHarmonic; ++n) {
    const double room_hz = (family.rate_u95_hz + (family.steady ? 0.0 : 0.5 * terms.resolution_hz)) / n;
    const double part_hz = family.rate_hz / n;
    const double weight = harmonics[static_cast<std::size_t>(n - 1)] * density(part_hz, room_hz, range) *
                          movement(part, family, n, terms) * not_taken(part, part_hz, terms) *
                          (n > 1 && family.members.size() > 1 ? kMultiplesAlone : 1.0);
    weighed.sum += weight;
    if (weight > weighed.best) {
      weighed.best = weight;
      weighed.harmonic = n;
    }
  }
  const double factor = kPriors[static_cast<std::size_t>(part)] * multiples(part, family);
  weighed.sum *= factor;
  return weighed;
}

}  // namespace

double span_to_see_a_reel_s(const PeakFamily& family, const MatchTerms& terms, int n) noexcept {
  constexpr double kLeastShift = 0.25;  // of the resolution
  const double thickness_um = tape_thickness_um(terms.known.tape_kind.value_or(TapeKind::c120));
  const double change_hz_per_s =
      n * reel_change_hz_per_minute(family.rate_hz / n, thickness_um, tape_speed_mm_s(terms.known)) / 60.0;
  const double by_shift_s = std::sqrt(2.0 * kLeastShift / change_hz_per_s);
  const double least_now_hz_per_s = 2.0 * 1.5 * 6.03 / 0.689 * family.rate_u95_hz / terms.span_s;
  const double by_noise_s = terms.span_s * std::pow(least_now_hz_per_s / change_hz_per_s, 0.4);
  return std::max(by_shift_s, by_noise_s);
}

MatchTerms match_terms(const KnownParts& known, double speed_error_percent, double span_s,
                       double resolution_hz) noexcept {
  MatchTerms terms;
  terms.known = without_faults(known);
  terms.speed_error_percent = std::abs(speed_error_percent) <= 25.0 ? speed_error_percent : 0.0;
  terms.span_s = span_s;
  terms.resolution_hz = resolution_hz;
  for (std::size_t i = 0; i < kPartCount; ++i)
    terms.ranges[i] = rate_range(static_cast<Part>(i), terms.known, terms.speed_error_percent);
  return terms;
}

PartMatch match_part(const PeakFamily& family, const MatchTerms& terms) noexcept {
  PartMatch match;
  const double unknown = kUnknownPrior / std::log(200.0 / 0.1);  // anywhere from 0.1 to 200 Hz
  double sum = unknown;
  for (std::size_t i = 0; i < kPartCount; ++i) {
    const Part part = static_cast<Part>(i);
    if (!terms.ranges[i]) continue;
    const Weighed weighed = weigh(part, *terms.ranges[i], family, terms);
    if (!(weighed.sum > 0.0)) continue;
    sum += weighed.sum;
    match.fits.add({part, weighed.harmonic, weighed.sum, terms.ranges[i]->knowledge,
                    implied_by(part, family.rate_hz / weighed.harmonic, terms.known, terms.speed_error_percent)});
  }
  for (PartFit& fit : match.fits) fit.probability /= sum;
  match.unknown_probability = unknown / sum;
  sort_few(match.fits.begin(), match.fits.end(),
           [](const PartFit& a, const PartFit& b) { return a.probability > b.probability; });
  while (!match.fits.empty() && match.fits[match.fits.size() - 1].probability < kLeastProbability)
    match.fits.shorten(match.fits.size() - 1);
  return match;
}

}  // namespace four76
