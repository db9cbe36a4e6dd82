// Runs a sound through ToneTrack, and where asked for on to knots and noise: what the tests of those blocks share.
#pragma once

#include <algorithm>
#include <cmath>
#include <span>
#include <vector>

#include "core/tone/carrier_noise.hpp"
#include "core/tone/knot_builder.hpp"
#include "core/tone/tone_track.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76::test {

inline std::vector<TrackPoint> track(ToneTrack& track, std::span<const float> x,
                                     std::size_t piece = ToneTrack::kLargestBlock) {
  std::vector<TrackPoint> points;
  for (std::size_t at = 0; at < x.size(); at += piece) {
    const auto some = track.process(x.subspan(at, std::min(piece, x.size() - at)));
    points.insert(points.end(), some.begin(), some.end());
  }
  return points;
}

inline std::vector<TrackPoint> track(std::span<const float> x, double rate_hz, double nominal_hz, double lock_hz) {
  ToneTrack tracker({rate_hz, nominal_hz});
  tracker.lock(lock_hz, 0);
  return track(tracker, x);
}

inline double phase_cycles(const TrackPoint& point) {
  return point.predicted_cycles + static_cast<double>(std::arg(point.residual)) / kTwoPi;
}

// Cycles by which the track is ahead of a tone sin(2 pi cycles(t)), the first point's whole cycles taken out: the
// analytic signal of a sine lags it by a quarter.
template <typename Cycles>
std::vector<double> phase_errors(std::span<const TrackPoint> points, Cycles&& cycles, double from_s = 0.0) {
  std::vector<double> errors;
  double whole = 0.0;
  for (const TrackPoint& point : points) {
    if (point.time_s < from_s) continue;
    const double error = phase_cycles(point) - (cycles(point.time_s) - 0.25);
    if (errors.empty()) whole = std::round(error);
    errors.push_back(error - whole);
  }
  return errors;
}

inline double largest(std::span<const double> values) {
  double most = 0.0;
  for (const double v : values) most = std::max(most, std::abs(v));
  return most;
}

struct Knots {
  std::vector<PhaseKnot> knots;
  CarrierNoise noise;
  explicit Knots(const ToneTrack& track) : noise({track.point_rate_hz(), track.modulation_bandwidth_hz()}) {}
};

inline Knots knots_of(std::span<const float> x, double rate_hz, double nominal_hz, double lock_hz) {
  ToneTrack tracker({rate_hz, nominal_hz});
  tracker.lock(lock_hz, 0);
  Knots result(tracker);
  KnotBuilder builder(tracker.point_rate_hz());
  for (const TrackPoint& point : track(tracker, x)) {
    if (!builder.add(point)) continue;
    result.knots.push_back(builder.knot());
    result.noise.process(builder.in_phase(), true);
  }
  return result;
}

}  // namespace four76::test
