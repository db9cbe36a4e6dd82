#include "core/tone/mean_speed.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

#include "core/signal/statistics.hpp"
#include "core/signal/uncertainty.hpp"
#include "core/tone/segments.hpp"
#include "core/tone/wow_projection.hpp"
#include "core/tone/wow_spread.hpp"

namespace four76 {

namespace {

using std::numbers::pi;

constexpr double kNormal95 = 1.959964;
constexpr double kLeastStretchS = 0.05;
constexpr double kDownWeightAbove = 4.0;  // times the median scatter
// The measuring chain's own error of phase (single precision taps): seen as 3e-7 cycles, entered as ten times that.
constexpr double kChainCycles = 3e-6;
constexpr double kLeastToTellSlowS = 1.0;  // wow from fast: below it even the first few orders look at a roller's rate
constexpr double kWowRules = 10.0;         // times the noise: the line's slope is the better mean up to there

double level_kurtosis(std::span<const PhaseKnot> knots) noexcept {
  double sum = 0.0;
  double count = 0.0;
  for (const PhaseKnot& knot : knots) {
    if (!knot.valid) continue;
    sum += static_cast<double>(knot.amplitude) * static_cast<double>(knot.amplitude);
    ++count;
  }
  const double mean = sum / std::max(1.0, count);
  double second = 0.0;
  double fourth = 0.0;
  for (const PhaseKnot& knot : knots) {
    if (!knot.valid) continue;
    const double off = static_cast<double>(knot.amplitude) * static_cast<double>(knot.amplitude) - mean;
    second += off * off;
    fourth += off * off * off * off;
  }
  return second > 0.0 ? fourth * count / (second * second) : 0.0;
}

// How many polynomials look near 0 Hz: enough to be sure, few enough to stay there (order n looks at about n / 2T).
std::size_t slow_orders(double joined_s) noexcept {
  if (joined_s < kLeastToTellSlowS) return 2;
  if (joined_s < 20.0) return 4;
  return joined_s < 60.0 ? 6 : 8;
}

struct WowSize {
  bool shows = false;           // above the noise
  double slope_u95_hz = 0.0;    // what it may do to the slope of a line
  double as_slow_u95_hz = 0.0;  // the same, were all of it as slow as the first few orders
  double drift_u95_hz = 0.0;
};

WowSize size_of_wow(const WowProjection& parts) noexcept {
  const double total_s = parts.joined_s;
  const std::size_t slow = slow_orders(total_s);
  const std::size_t seen = total_s < kLeastToTellSlowS ? slow : WowProjection::kMostOrders;
  WowSize size;
  double ratio = 0.0;    // squares over what noise alone puts there: chi-square where there is no wow
  double density = 0.0;  // two-sided, Hz^2/Hz, mean over the slow orders
  double drift_free = 0.0;
  for (std::size_t j = 0; j < seen; ++j) {
    const double square = parts.b[j] * parts.b[j];
    const double share = total_s / 2.0 * slope_weight(static_cast<double>(j) + 2.0);
    ratio += square / std::max(parts.noise[j], 1e-30);
    if (j >= slow) continue;
    density += std::max(0.0, square - parts.noise[j]) / share;
    if (j > 0) drift_free += square / share;
  }
  const auto k = static_cast<double>(slow);
  const auto all = static_cast<double>(seen);
  size.shows = ratio > all * chi_square_ratio_95(all);
  size.as_slow_u95_hz = student_t95(k) * std::sqrt(kPhaseFitWindowFactor * density / k / total_s);
  size.slope_u95_hz = total_s < kLeastToTellSlowS
                          ? size.as_slow_u95_hz
                          : student_t95(all - 3.0) * wow_slope_sigma_hz(parts.b, parts.noise, total_s);
  drift_free /= std::max(1.0, k - 1.0);
  size.drift_u95_hz = student_t95(k - 1.0) * std::sqrt(drift_free * total_s / 2.0 * slope_weight(2.0)) * 30.0 / total_s;
  return size;
}

}  // namespace

struct MeanSpeedFit::Sums {
  double tt = 0.0;        // sum w (t - mean t)^2
  double tp = 0.0;        // sum w (t - mean t)(p - mean p)
  double variance = 0.0;  // of tp for knots of unit phase variance a second
  double span_s = 0.0;
};

MeanSpeedFit::MeanSpeedFit(std::size_t most_knots) : weights_(most_knots), scratch_(most_knots) {}

// Weight = the time a knot stands for, less where its own noise is far above the usual.
void MeanSpeedFit::set_weights(std::span<const PhaseKnot> knots) noexcept {
  std::size_t count = 0;
  for (const auto& knot : knots)
    if (knot.valid) scratch_[count++] = knot.scatter;
  if (count == 0) {
    std::fill_n(weights_.begin(), knots.size(), 0.0);
    return;
  }
  const double usual = std::max(1e-12, static_cast<double>(median_of(std::span(scratch_).first(count))));
  for (std::size_t i = 0; i < knots.size(); ++i) {
    const double excess = static_cast<double>(knots[i].scatter) / usual;
    const double share = excess > kDownWeightAbove ? kDownWeightAbove / excess : 1.0;
    weights_[i] = knots[i].valid ? knots[i].span_s * share : 0.0;
  }
}

std::optional<MeanSpeed> MeanSpeedFit::fit(std::span<const PhaseKnot> knots, double noise_to_carrier,
                                           MeanOf mean_of) noexcept {
  assert(knots.size() <= weights_.size() && "more knots than the fit was made for");
  set_weights(knots);
  MeanSpeed mean;
  Sums sums;
  double weight_sum = 0.0;
  for_each_segment(knots, [&](std::size_t first, std::size_t last) {
    double w = 0.0;
    double wt = 0.0;
    double wp = 0.0;
    const double t0 = knots[first].time_s;
    const double p0 = knots[first].phase_cycles;
    for (std::size_t i = first; i < last; ++i) {
      w += weights_[i];
      wt += weights_[i] * (knots[i].time_s - t0);
      wp += weights_[i] * (knots[i].phase_cycles - p0);
      mean.amplitude += weights_[i] * static_cast<double>(knots[i].amplitude);
    }
    if (w <= 0.0) return;
    weight_sum += w;
    for (std::size_t i = first; i < last; ++i) {
      if (weights_[i] <= 0.0) continue;
      const double t = knots[i].time_s - t0 - wt / w;
      const double wti = weights_[i] * t;
      sums.tt += wti * t;
      sums.tp += wti * (knots[i].phase_cycles - p0 - wp / w);
      // A knot's phase variance is inverse to its span, and to its share of the weight.
      sums.variance += wti * wti / weights_[i];
      mean.first_s = sums.span_s == 0.0 ? knots[i].time_s - knots[i].span_s / 2.0 : mean.first_s;
      mean.last_s = knots[i].time_s + knots[i].span_s / 2.0;
      sums.span_s += knots[i].span_s;
    }
  });
  if (sums.span_s < kLeastStretchS || sums.tt <= 0.0) return std::nullopt;
  mean.frequency_hz = sums.tp / sums.tt;
  mean.trusted_s = sums.span_s;
  mean.amplitude /= weight_sum;
  // One-sided phase density N0/C: variance over a span dt is N0/C / (2 dt) square radians.
  const double noise_sigma_hz = std::sqrt(noise_to_carrier / 2.0 * sums.variance) / (2.0 * pi) / sums.tt;
  const double chain_hz = kChainCycles / mean.trusted_s;
  mean.level_kurtosis = level_kurtosis(knots);
  double turns = 0.0;
  for (const PhaseKnot& knot : knots) turns += static_cast<double>(knot.turn_cycles);
  mean.turns_u95_hz = turns / mean.trusted_s;
  mean.noise_u95_hz = std::hypot(kNormal95 * noise_sigma_hz, chain_hz, mean.turns_u95_hz);
  add_wow(knots, noise_to_carrier, mean_of, mean);
  mean.u95_hz = std::hypot(mean.noise_u95_hz, mean.wow_u95_hz);
  return mean;
}

// What the segments' own slopes say: their scatter about the mean, weighted as they are in it.
double MeanSpeedFit::segments_u95_hz(std::span<const PhaseKnot> knots, const MeanSpeed& mean) const noexcept {
  double square = 0.0;
  double weight = 0.0;
  double weight_square = 0.0;
  for_each_segment(knots, [&](std::size_t first, std::size_t last) {
    double w = 0.0;
    double wt = 0.0;
    double wr = 0.0;
    const auto residual = [&](std::size_t i) {
      return knots[i].phase_cycles - knots[first].phase_cycles -
             mean.frequency_hz * (knots[i].time_s - knots[first].time_s);
    };
    for (std::size_t i = first; i < last; ++i) {
      w += weights_[i];
      wt += weights_[i] * (knots[i].time_s - knots[first].time_s);
      wr += weights_[i] * residual(i);
    }
    if (w <= 0.0) return;
    double tt = 0.0;
    double tr = 0.0;
    for (std::size_t i = first; i < last; ++i) {
      const double t = knots[i].time_s - knots[first].time_s - wt / w;
      tt += weights_[i] * t * t;
      tr += weights_[i] * t * (residual(i) - wr / w);
    }
    square += tr * tr;
    weight += tt;
    weight_square += tt * tt;
  });
  if (weight <= 0.0) return 0.0;
  const double effective = weight * weight / weight_square;  // how many segments of equal weight
  if (effective < 2.0) return 0.0;
  return student_t95(effective - 1.0) * std::sqrt(square * effective / (effective - 1.0)) / weight;
}

void MeanSpeedFit::add_wow(std::span<const PhaseKnot> knots, double noise_to_carrier, MeanOf mean_of,
                           MeanSpeed& mean) noexcept {
  WowProjection parts = project_wow(knots, mean);
  for (double& noise : parts.noise) noise *= noise_to_carrier;
  const WowSize wow = size_of_wow(parts);
  const double unseen_hz = kNormal95 * parts.deviation_hz * parts.unseen_s / parts.joined_s;
  const double slope_u95_hz = std::hypot(wow.slope_u95_hz, unseen_hz);
  mean.segments_u95_hz = segments_u95_hz(knots, mean);
  mean.wow_u95_hz = mean.wander_hz = mean.segments_u95_hz;
  if (wow.shows) {
    mean.wander_hz =
        std::max({mean.wander_hz, std::hypot(wow.as_slow_u95_hz, unseen_hz), std::abs(parts.plain_hz) + unseen_hz});
    mean.wow_u95_hz =
        std::max({mean.wow_u95_hz, std::abs(parts.slope_hz) + slope_u95_hz, std::abs(parts.plain_hz) + unseen_hz});
  }
  const double ends_u95_hz = kNormal95 * parts.ends_hz(noise_to_carrier);
  const bool wow_rules = std::max(wow.shows ? wow.as_slow_u95_hz : 0.0, mean.segments_u95_hz) >
                         kWowRules * std::max(mean.noise_u95_hz, ends_u95_hz);
  if (mean_of == MeanOf::stretch && wow_rules) {
    mean.frequency_hz += parts.plain_hz;
    mean.noise_u95_hz = std::max(mean.noise_u95_hz, ends_u95_hz);
    // The plain mean is off the line by what is seen, and the line off the machine's own speed by what is not. Joined
    // phases need no segment's own slope.
    if (wow.shows) mean.wow_u95_hz = std::abs(parts.plain_hz - parts.slope_hz) + slope_u95_hz;
  }
  // A steady change of d Hz over the stretch gives b_2 = d T / 30 (derived); the higher orders say what wow gives.
  mean.drift_hz = 30.0 * parts.b[0] / parts.joined_s;
  mean.drift_u95_hz = wow.drift_u95_hz;
}

}  // namespace four76
