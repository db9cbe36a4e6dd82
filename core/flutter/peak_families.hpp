// PeakFamilies: which peaks of the deviation's spectrum are one part's: a rate and its multiples.
//
// A belt's joint or a roller's flat spot is no sine: once a turn it makes a jolt, so multiples of its rate stand beside
// it. A peak belongs to a lower one where it lies at n times its rate, n up to 8,
// - within both peaks' own uncertainty and a tenth of the resolution (the estimate's own bias where a rate is not quite
//   steady; half of it where it is not steady at all);
// - not by mere chance: the bands that would match cover less than a fifth of the rates;
// - at most five times as strong where n is 2 or 3 (a joint that is two jolts a turn), and at most 2/n of the family's
//   strongest beyond (a jolt's multiples fall off: common practice);
// - moving n times as fast where the lower one moves.
// A peak that an entered part explains by itself, stronger than the lower one, stays alone. A fundamental that does not
// stand out itself is only taken from peaks at 2 and 3 times an entered part's rate.
#pragma once

#include <cstddef>
#include <span>

#include "core/flutter/flutter_peaks.hpp"
#include "core/flutter/rotating_parts.hpp"
#include "core/flutter/short_list.hpp"

namespace four76 {

inline constexpr int kHighestHarmonic = 8;

struct FamilyMember {
  std::size_t peak = 0;  // its place in the list of peaks that was given
  int harmonic = 1;
};

struct PeakFamily {
  double rate_hz = 0.0;  // of the fundamental
  double rate_u95_hz = 0.0;
  bool steady = true;
  bool moving = false;
  double change_hz_per_minute = 0.0;
  double change_u95_hz_per_minute = 0.0;
  ShortList<FamilyMember, kHighestHarmonic> members;
};

struct FamilyTerms {
  double span_s = 0.0;
  double resolution_hz = 0.0;
  std::span<const RateRange> entered;  // of the parts that were entered
};

using PeakFamilies = ShortList<PeakFamily, FlutterPeaks::kMost>;

// Can anything be built on this peak: sane numbers, out of its own uncertainty by half as much again, at least two and
// a half turns in the span.
[[nodiscard]] bool is_usable(const FlutterPeak& peak, double span_s) noexcept;

// In rising order of rate. Of more peaks than FlutterPeaks gives, the first ones.
[[nodiscard]] PeakFamilies find_families(std::span<const FlutterPeak> peaks, const FamilyTerms& terms) noexcept;

}  // namespace four76
