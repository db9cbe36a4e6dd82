#include "core/tone/knot_builder.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

#include "core/signal/statistics.hpp"

namespace four76 {

namespace {
constexpr double kKnotS = 0.01;
constexpr double kPointsCarryPhase = 0.05;  // scatter: a point's phase is known to a fortieth of a cycle
}  // namespace

KnotBuilder::KnotBuilder(double point_rate_hz)
    : points_per_knot_(
          std::clamp<std::size_t>(static_cast<std::size_t>(std::lround(kKnotS * point_rate_hz)), 1, kMostPoints)),
      knot_s_(static_cast<double>(points_per_knot_) / point_rate_hz) {}

void KnotBuilder::reset() noexcept {
  count_ = 0;
  has_last_ = broken_ = was_clear_ = false;
  point_cycles_ = last_residual_cycles_ = last_unwrapped_cycles_ = 0.0;
  break_.reset();
}

// Mean over the knot of the points' residual phase, unwrapped from point to point since the reset.
double KnotBuilder::unwrap_points() noexcept {
  double mean = 0.0;
  for (std::size_t i = 0; i < points_per_knot_; ++i) {
    const double cycles = std::arg(std::complex<double>(points_[i].residual)) / (2.0 * std::numbers::pi);
    point_cycles_ += wrap_cycles(cycles - point_cycles_);
    mean += point_cycles_ / static_cast<double>(points_per_knot_);
  }
  return mean;
}

bool KnotBuilder::add(const TrackPoint& point) noexcept {
  points_[count_++] = point;
  broken_ |= break_.add(point);
  if (count_ < points_per_knot_) return false;
  count_ = 0;

  std::complex<double> sum = 0.0;
  double predicted = 0.0;
  double time_s = 0.0;
  const auto n = static_cast<double>(points_per_knot_);
  for (std::size_t i = 0; i < points_per_knot_; ++i) {
    sum += std::complex<double>(points_[i].residual);
    predicted += (points_[i].predicted_cycles - points_[0].predicted_cycles) / n;
    time_s += points_[i].time_s / n;
  }
  const double amplitude = std::abs(sum) / n;
  const std::complex<double> direction = amplitude > 0.0 ? sum / std::abs(sum) : std::complex<double>(1.0);
  // Where the loop lags by near half a cycle, or slips one, go on from the knot before: the tone's phase is continuous.
  const double wrapped = std::arg(direction) / (2.0 * std::numbers::pi);
  double near = last_residual_cycles_;

  double variance = 0.0;
  for (std::size_t i = 0; i < points_per_knot_; ++i) {
    const auto along = (std::complex<double>(points_[i].residual) * std::conj(direction)).real();
    in_phase_[i] = static_cast<float>(along);
    variance += (along - amplitude) * (along - amplitude);
  }
  variance /= std::max(1.0, n - 1.0);
  const double square = std::max(amplitude * amplitude, 1e-20);
  // Where single points carry their phase, they say how many cycles lie between the knots; in noise they would slip.
  const double unwrapped = unwrap_points();
  const bool clear = variance / square < kPointsCarryPhase;
  if (clear && was_clear_) near += unwrapped - last_unwrapped_cycles_;
  const double residual = has_last_ ? near + wrap_cycles(wrapped - near) : wrapped;
  last_residual_cycles_ = residual;
  last_unwrapped_cycles_ = unwrapped;
  was_clear_ = clear;
  has_last_ = true;
  knot_ = {.time_s = time_s,
           .span_s = knot_s_,
           .phase_cycles = points_[0].predicted_cycles + predicted + residual,
           .amplitude = static_cast<float>(amplitude),
           .scatter = static_cast<float>(std::min(variance / square, 1e6)),
           .broken = broken_};
  broken_ = false;
  return true;
}

}  // namespace four76
