#include "core/tone/knot_builder.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <vector>

#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

constexpr double kKnotS = 0.01;

// Points of a tone that stands `offset` cycles from the prediction of a loop at 3000 Hz, plus noise on each axis.
template <typename Offset>
std::vector<TrackPoint> points_of(std::size_t count, Offset&& offset, double amplitude, double noise_rms,
                                  std::uint64_t seed = 1) {
  test::Noise noise(seed);
  std::vector<TrackPoint> points(count);
  for (std::size_t i = 0; i < count; ++i) {
    const double t = static_cast<double>(i) / 1000.0;
    const std::complex<double> clean = std::polar(amplitude, test::kTwoPi * offset(t));
    points[i] = {t, 3000.0 * t,
                 std::complex<float>(clean + std::complex<double>(noise_rms * noise(), noise_rms * noise()))};
  }
  return points;
}

std::vector<PhaseKnot> build(const std::vector<TrackPoint>& points) {
  KnotBuilder builder(1000.0);
  std::vector<PhaseKnot> knots;
  for (const auto& point : points)
    if (builder.add(point)) knots.push_back(builder.knot());
  return knots;
}

TEST(KnotBuilder, IsTheMiddleOfTenMilliseconds) {
  const auto knots = build(points_of(
      1000, [](double) { return 0.1; }, 0.2, 0.0));
  ASSERT_EQ(knots.size(), 100u);
  EXPECT_NEAR(knots[3].span_s, kKnotS, 1e-12);
  EXPECT_NEAR(knots[3].time_s, 0.0345, 1e-9);
  EXPECT_NEAR(knots[3].phase_cycles, 3000.0 * 0.0345 + 0.1, 1e-6);
  EXPECT_NEAR(static_cast<double>(knots[3].amplitude), 0.2, 1e-6);
  EXPECT_LT(knots[3].scatter, 1e-9F);
  EXPECT_TRUE(knots[3].valid);
}

TEST(KnotBuilder, MeasuresTheScatterOfItsPoints) {
  const auto knots = build(points_of(
      20000, [](double) { return 0.3; }, 0.2, 0.02, 5));
  double mean = 0.0;
  for (const auto& knot : knots) mean += static_cast<double>(knot.scatter) / static_cast<double>(knots.size());
  EXPECT_NEAR(mean, 0.01, 0.0005);  // (0.02 / 0.2)^2
}

// That the points break is told of the knot, and of it alone; its level may be read all the same.
TEST(KnotBuilder, SaysWhereThePointsBreak) {
  const auto knots = build(points_of(
      2000, [](double t) { return t < 1.0 ? 0.1 : 0.35; }, 0.2, 0.002, 3));
  std::vector<double> broken_s;
  for (const auto& knot : knots) {
    EXPECT_TRUE(knot.level_valid);
    if (knot.broken) broken_s.push_back(knot.time_s);
  }
  ASSERT_EQ(broken_s.size(), 1u);
  EXPECT_NEAR(broken_s[0], 1.0, 1.6 * kKnotS);
}

// Where the loop lags by more than half a cycle, the tone's phase still goes on.
TEST(KnotBuilder, CarriesThePhasePastHalfACycle) {
  const auto slip = [](double t) { return 1.5 * t; };
  const auto knots = build(points_of(1000, slip, 0.2, 0.0));
  for (const auto& knot : knots) ASSERT_NEAR(knot.phase_cycles, 3000.0 * knot.time_s + slip(knot.time_s), 1e-3);
}

TEST(KnotBuilder, StaysFiniteInSilence) {
  for (const auto& knot : build(points_of(
           100, [](double) { return 0.0; }, 0.0, 0.0))) {
    EXPECT_TRUE(std::isfinite(knot.phase_cycles));
    EXPECT_TRUE(std::isfinite(knot.scatter));
  }
}

}  // namespace
}  // namespace four76
