// PeakMatch: which part a family of peaks most likely comes from, how likely, and which others it might be.
//
// Bayes' rule over the parts and over an unknown part. A part's rate is equally likely anywhere within its range
// (evenly over the logarithm), so a narrow range that holds the rate says more than a wide one. The rate may also be a
// multiple of the part's, which is less common the higher it is. The prior has rubber parts and the capstan at fault
// more often than the rest. It is from memory: it orders what the ranges leave open, and the more they leave open, the
// less sure the answer is said to be. The rules:
// - a rate that rises evenly is the supply reel's, one that falls the take-up reel's, where the tape's thickness that
//   follows from it is one that tapes have; nothing else moves so;
// - a rate that stands still although a reel there would have moved visibly is no reel's;
// - multiples speak for a belt (joint) and somewhat for a roller (flat spot);
// - a part turns at one rate: what another family has taken already is not taken again.
#pragma once

#include <array>
#include <optional>

#include "core/flutter/peak_families.hpp"
#include "core/flutter/rotating_parts.hpp"
#include "core/flutter/short_list.hpp"

namespace four76 {

struct PartFit {
  Part part = Part::capstan;
  int harmonic = 1;  // the family's fundamental is so many times the part's rate
  double probability = 0.0;
  Knowledge knowledge = Knowledge::usual;
  std::optional<Dimension> implied;  // what the part would be
};

struct PartMatch {
  ShortList<PartFit, kPartCount> fits;  // likeliest first
  double unknown_probability = 1.0;     // that it is none of them
};

struct MatchTerms {
  KnownParts known;
  double speed_error_percent = 0.0;
  double span_s = 0.0;
  double resolution_hz = 0.0;
  std::array<std::optional<RateRange>, kPartCount> ranges{};
  std::array<std::optional<double>, kPartCount> taken_hz{};  // by stronger families
};

[[nodiscard]] MatchTerms match_terms(const KnownParts& known, double speed_error_percent, double span_s,
                                     double resolution_hz) noexcept;
// How long a listening shows which way a reel's rate moves: its shift, c T, has to be a quarter of the resolution, 2 /
// T, and the change twice what slow_movers.hpp takes for moving, 1.5 times its u95. That is 6.03 / 0.689 times the
// rate's own u95 over T (both from the window's moments, see there and flutter_peaks.hpp), which falls as T^-2.5
// (derived).
[[nodiscard]] double span_to_see_a_reel_s(const PeakFamily& family, const MatchTerms& terms, int n = 1) noexcept;
[[nodiscard]] PartMatch match_part(const PeakFamily& family, const MatchTerms& terms) noexcept;

}  // namespace four76
