#include "web/place/pace.hpp"

#include <gtest/gtest.h>

namespace four76 {
namespace {

// How many of the frames, so far apart, ask for the next one at once.
int asked(Pace& pace, double& now_s, int frames, double step_s) {
  int count = 0;
  for (int i = 0; i < frames; ++i, now_s += step_s) count += pace.next(now_s, true) ? 1 : 0;
  return count;
}

TEST(Pace, DrawsOnWhereTheDeviceKeepsUp) {
  Pace pace;
  double now_s = 100.0;
  EXPECT_EQ(asked(pace, now_s, 600, 1.0 / 60.0), 600);
}

TEST(Pace, RestsWhereItDoesNotAndTriesAgainLaterAndLater) {
  Pace pace;
  double now_s = 100.0;
  const int first = asked(pace, now_s, 60, 1.0 / 15.0);
  EXPECT_LT(first, 25);
  EXPECT_FALSE(pace.next(now_s + 15.0, true));
  now_s += 21.0;
  EXPECT_TRUE(pace.next(now_s, true)) << "another try";
  EXPECT_LT(asked(pace, now_s, 60, 1.0 / 15.0), 25);
  EXPECT_FALSE(pace.next(now_s + 30.0, true)) << "the second rest is longer";
}

TEST(Pace, TakesOneLongPauseForNoSlowness) {
  Pace pace;
  double now_s = 100.0;
  asked(pace, now_s, 100, 1.0 / 60.0);
  now_s += 60.0;  // the page was in the background
  EXPECT_EQ(asked(pace, now_s, 100, 1.0 / 60.0), 100);
}

TEST(Pace, StopsWithTheRibbon) {
  Pace pace;
  EXPECT_TRUE(pace.next(1.0, true));
  EXPECT_FALSE(pace.next(1.02, false));
}

}  // namespace
}  // namespace four76
