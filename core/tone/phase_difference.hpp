// PhaseDifference: the track's points as points of speed deviation.
//
//   deviation = 100 (rate (phi[n] - phi[n - 1]) / nominal - 1) percent,  phi in cycles
//
// The mean over one point's time, half a point before the later one (see DeviationFilter's `differenced`). The
// prediction's difference is exact; that of what is left is taken within half a cycle. Void where either point is, at
// the first, and where the track began anew: time goes on between, and FlutterWatch counts void points for it.
#pragma once

#include <cmath>
#include <complex>
#include <numbers>

#include "core/flutter/void_bridge.hpp"
#include "core/signal/statistics.hpp"
#include "core/tone/tone_track.hpp"

namespace four76 {

class PhaseDifference {
 public:
  struct Config {
    double point_rate_hz = 1000.0;
    double nominal_hz = 3000.0;
  };
  explicit PhaseDifference(const Config& config) noexcept : config_(config) {}
  void reset() noexcept { begun_ = false; }

  DeviationPoint add(const TrackPoint& point, bool valid) noexcept {
    const double left_cycles = static_cast<double>(std::arg(point.residual)) / (2.0 * std::numbers::pi);
    const double step_cycles =
        point.predicted_cycles - before_.predicted_cycles + wrap_cycles(left_cycles - left_before_cycles_);
    const double passed = (point.time_s - before_.time_s) * config_.point_rate_hz;
    const bool joined = begun_ && passed > 0.5 && passed <= 1.5 && valid && was_valid_;
    before_ = point;
    left_before_cycles_ = left_cycles;
    was_valid_ = valid;
    begun_ = true;
    if (!joined) return {0.0, false};
    return {100.0 * (step_cycles * config_.point_rate_hz / config_.nominal_hz - 1.0), true};
  }

 private:
  Config config_;
  TrackPoint before_;
  double left_before_cycles_ = 0.0;
  bool begun_ = false, was_valid_ = false;
};

}  // namespace four76
