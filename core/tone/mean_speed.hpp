// MeanSpeedFit: the mean frequency of a stretch of knots, and how far it can be trusted.
//
// A weighted straight line through the phase, one offset for each segment, one slope for all:
//   f = sum_s sum_i w_i (t_i - t_s)(phi_i - phi_s) / sum_s sum_i w_i (t_i - t_s)^2
// On white noise that is the maximum-likelihood estimate and reaches the Cramer-Rao bound (Tretter 1985).
//
// Uncertainty, measured on the very stretch:
// - noise: from the measured N0/C, through the same weights;
// - wow: the residual phase, the segments joined end to end, is projected on the Legendre polynomials P_2 to P_13 over
//   the stretch (the slope is its projection on P_1). Seen from the frequency, each is a weight over time that vanishes
//   at both ends, is blind to the mean, and looks at rates near n / 2T. WowSpread foretells from their squares, less
//   what noise puts there, how far the slope is off the machine's own speed; Student's t says how well. Below 1 s, too
//   little to tell slow wow from fast, the first two are taken as all slow. The distance between the slope and the
//   plain mean of the stretch, which wow alone causes, is seen and comes on top; so does what went on in the gaps and
//   at the unseen ends.
// - segments: where there are several and noise rules, the scatter of their own slopes must not exceed what was found.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "core/tone/phase_knot.hpp"
#include "core/tone/phase_record.hpp"

namespace four76 {

struct MeanSpeed {
  double frequency_hz = 0.0;
  double u95_hz = 0.0;  // noise and wow together
  double noise_u95_hz = 0.0;
  double wow_u95_hz = 0.0;
  double segments_u95_hz = 0.0;  // from the scatter between segments, part of wow_u95_hz where noise rules
  double wander_hz = 0.0;        // wow_u95_hz, were all wow as slow as can be: how wild it is, whatever averages out
  double turns_u95_hz = 0.0;     // from the phase's turns in fades, part of noise_u95_hz
  double trusted_s = 0.0;        // sum of the spans used
  double drift_hz = 0.0;         // change of the frequency over the stretch, by the projection on P_2
  double drift_u95_hz = 0.0;     // of that, from the wow beside it
  double first_s = 0.0, last_s = 0.0;
  double amplitude = 0.0;       // mean, linear peak
  double level_kurtosis = 0.0;  // of the squared amplitude
};

// What the frequency is the mean of. The line's slope is the best of a steady speed in noise, and the calmest from one
// moment to the next. The stretch's own mean is what went past in it, whatever it did: where wow can be told from the
// noise, cycles over time from end to end.
enum class MeanOf { line, stretch };

class MeanSpeedFit {
 public:
  explicit MeanSpeedFit(std::size_t most_knots = PhaseRecord::kCapacity);
  // Nothing where no segment has two knots that can be used, or less than 0.05 s can. `noise_to_carrier`: N0/C in 1/Hz.
  std::optional<MeanSpeed> fit(std::span<const PhaseKnot> knots, double noise_to_carrier,
                               MeanOf mean_of = MeanOf::line) noexcept;

 private:
  struct Sums;
  void set_weights(std::span<const PhaseKnot> knots) noexcept;
  void add_wow(std::span<const PhaseKnot> knots, double noise_to_carrier, MeanOf mean_of, MeanSpeed& mean) noexcept;
  [[nodiscard]] double segments_u95_hz(std::span<const PhaseKnot> knots, const MeanSpeed& mean) const noexcept;
  std::vector<double> weights_;
  std::vector<float> scratch_;
};

}  // namespace four76
