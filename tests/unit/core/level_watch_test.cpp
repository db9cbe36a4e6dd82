#include "core/tone/level_watch.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

double of_db(double db) { return std::pow(10.0, db / 20.0); }

// Feeds knots of 10 ms whose tone and noise have these levels over time, in decibels.
template <typename Tone, typename Noise>
LevelWatch watch(double seconds, Tone&& tone_db, Noise&& noise_db) {
  LevelWatch levels;
  test::Noise random(4);
  for (int i = 0; i < static_cast<int>(seconds * 100.0); ++i) {
    const double t = i / 100.0;
    levels.add(t, of_db(tone_db(t) + 0.1 * random()), std::pow(of_db(noise_db(t)), 2.0));
  }
  return levels;
}

bool processed(const LevelWatch& levels) { return levels.fades() || levels.breathes(); }

const auto steady_noise = [](double) { return -60.0; };

TEST(LevelWatch, FindsNothingInASteadyTone) {
  const auto levels = watch(
      20.0, [](double) { return -20.0; }, steady_noise);
  EXPECT_FALSE(processed(levels));
  EXPECT_EQ(levels.low_share(), 0.0);
}

// A suppressor takes a steady tone for noise and fades it out over seconds.
TEST(LevelWatch, SeesAToneFadedOutAndKeptDown) {
  for (const double fade_s : {1.5, 3.0, 5.0}) {
    const auto fade = [&](double t) { return -20.0 - 25.0 * std::clamp((t - 4.0) / fade_s, 0.0, 1.0); };
    EXPECT_TRUE(processed(watch(12.0, fade, steady_noise))) << fade_s;
  }
}

TEST(LevelWatch, SeesAToneLostOnTheWayDown) {
  const auto fade = [](double t) { return -20.0 - 10.0 * std::max(0.0, t - 4.0); };
  auto levels = watch(5.2, fade, steady_noise);
  levels.lost();
  EXPECT_TRUE(processed(levels));
}

// Automatic gain moves the tone and the noise beside it together.
TEST(LevelWatch, SeesANoiseThatBreathesWithTheTone) {
  const auto gain = [](double t) { return 4.0 * std::sin(test::kTwoPi * 0.5 * t); };
  const auto levels = watch(
      12.0, [&](double t) { return -20.0 + gain(t); }, [&](double t) { return -60.0 + gain(t); });
  EXPECT_TRUE(processed(levels));
}

// Dropouts come and go at once; standing waves in a room move the tone alone; a tape ends.
TEST(LevelWatch, LeavesTapeAndRoomAlone) {
  const auto dropouts = [](double t) { return std::fmod(t, 1.7) < 0.15 ? -50.0 : -20.0; };
  EXPECT_FALSE(processed(watch(20.0, dropouts, steady_noise)));
  const auto room = [](double t) { return -20.0 + 4.0 * std::sin(test::kTwoPi * 0.6 * t); };
  EXPECT_FALSE(processed(watch(20.0, room, steady_noise)));
  auto ended = watch(
      10.0, [](double t) { return t < 9.0 ? -20.0 : -90.0; }, steady_noise);
  ended.lost();
  EXPECT_FALSE(processed(ended));
}

}  // namespace
}  // namespace four76
