#include "core/tone/phase_difference.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/unit/core/test_signals.hpp"
#include "tests/unit/core/tracked.hpp"

namespace four76 {
namespace {

// The mean of the speed over a point's time, from the wow's own phase.
TEST(PhaseDifference, FollowsTheSpeedOfATone) {
  for (const double sample_rate_hz : {44100.0, 48000.0, 96000.0}) {
    const test::SineWow wow{3171.0, 0.03, 2.3, 0.4};
    ToneTrack tracker({sample_rate_hz, 3150.0});
    tracker.lock(3171.0, 0);
    PhaseDifference difference({tracker.point_rate_hz(), 3150.0});
    const double step_s = 1.0 / tracker.point_rate_hz();
    for (const TrackPoint& point : test::track(tracker, test::sound_of(wow, 4.0, sample_rate_hz, 0.1))) {
      const DeviationPoint found = difference.add(point, true);
      if (point.time_s < 0.3) continue;
      const double cycles = wow(point.time_s) - wow(point.time_s - step_s);
      EXPECT_TRUE(found.valid);
      ASSERT_NEAR(found.percent, 100.0 * (cycles / step_s / 3150.0 - 1.0), 0.002) << point.time_s;
    }
  }
}

TrackPoint at(double time_s, double cycles, double left_cycles) {
  return {time_s, cycles, std::polar(0.1F, static_cast<float>(test::kTwoPi * left_cycles))};
}

TEST(PhaseDifference, KeepsTheCycleWhereWhatIsLeftWraps) {
  PhaseDifference difference({1000.0, 3000.0});
  EXPECT_FALSE(difference.add(at(1.0, 10.0, 0.49), true).valid);
  const DeviationPoint point = difference.add(at(1.001, 12.98, -0.49), true);
  EXPECT_TRUE(point.valid);
  EXPECT_NEAR(point.percent, 0.0, 1e-4);
}

TEST(PhaseDifference, IsVoidAtBothEdgesOfAVoid) {
  PhaseDifference difference({1000.0, 3000.0});
  difference.add(at(0.001, 3.0, 0.0), true);
  EXPECT_TRUE(difference.add(at(0.002, 6.0, 0.0), true).valid);
  EXPECT_FALSE(difference.add(at(0.003, 9.0, 0.0), false).valid);
  EXPECT_FALSE(difference.add(at(0.004, 12.0, 0.0), true).valid);
  EXPECT_TRUE(difference.add(at(0.005, 15.0, 0.0), true).valid);
}

TEST(PhaseDifference, IsVoidWhereTheTrackBeganAnew) {
  PhaseDifference difference({1000.0, 3000.0});
  difference.add(at(0.001, 3.0, 0.0), true);
  EXPECT_FALSE(difference.add(at(0.501, 0.1, 0.0), true).valid);
  EXPECT_TRUE(difference.add(at(0.502, 3.1, 0.0), true).valid);
  EXPECT_FALSE(difference.add(at(0.3, 0.0, 0.0), true).valid);  // a track begun anew from its history
}

}  // namespace
}  // namespace four76
