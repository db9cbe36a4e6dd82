#include "core/song/song_stillness.hpp"

#include <array>
#include <cassert>
#include <cmath>

namespace four76 {
namespace {
constexpr double kKnot_s = 0.01;
constexpr double kMostUnbroken_s = 0.16;  // three turns of the dial
constexpr double kMostOff = 0.02;         // of speed, from one point to the next; more is another place
constexpr double kMostVoid_s = 1.5;
}  // namespace

void SongStillness::reset() noexcept {
  wow_.reset();
  learned_ = {};
}

// The knots between two points lie on a straight line, or are void.
void SongStillness::learn(const SongPoint& point, double speed) noexcept {
  const double since_s = point.tape_s - learned_.tape_s;
  if (since_s <= 0.0) return;
  const double expected_s = learned_.place_s + speed * since_s;
  const bool unbroken = since_s < kMostUnbroken_s && std::abs(point.place_s - expected_s) < kMostOff * since_s;
  if (!unbroken) ++segment_;
  if (since_s > kMostVoid_s) {
    wow_.reset();
  } else {
    const auto knots = static_cast<int>(std::lround(since_s / kKnot_s));
    for (int i = 1; i <= knots; ++i) {
      const double share = static_cast<double>(i) / knots;
      wow_.add({.time_s = learned_.tape_s + share * since_s,
                .span_s = kKnot_s,
                .phase_cycles = kTone_hz * (learned_.place_s + share * (point.place_s - learned_.place_s)),
                .segment = segment_,
                .valid = unbroken || i == knots});
    }
  }
  learned_ = point;
}

void SongStillness::clean(std::span<SongPoint> points) const noexcept {
  assert(points.size() <= kMostPoints && "a trail holds no more");
  std::array<PhaseKnot, kMostPoints> knots;
  for (std::size_t i = 0; i < points.size(); ++i)
    knots[i] = {.time_s = points[i].tape_s, .phase_cycles = points[i].place_s * kTone_hz};
  wow_.clean(std::span(knots).first(points.size()));
  for (std::size_t i = 0; i < points.size(); ++i) points[i].place_s = knots[i].phase_cycles / kTone_hz;
}

}  // namespace four76
