// ScaleCourse: the movement of a machine whose movement is known, on chords without any fault of their own.
#include "core/tapes/pitch/scale_course.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

#include "core/tapes/pitch/concert_pitch.hpp"
#include "tests/unit/core/tape_music.hpp"

namespace four76 {
namespace {

using test::Chords;
using test::kTwoPi;
using test::played_chords;

ScaleCourse course_of(std::span<const float> samples) {
  ConcertPitch pitch;
  ScaleCourse course;
  test::for_partials(samples, [&](std::span<const Partial> frame) {
    pitch.add(frame);
    course.add(frame, pitch.centre_cents());
  });
  return course;
}

// The position of a machine whose speed swings by `peak` of itself.
auto wowing(double peak, double rate_hz) {
  return [=](double t) { return t + peak / (kTwoPi * rate_hz) * std::sin(kTwoPi * rate_hz * t); };
}

// Turned by so many percent at 20 s, evenly within `over_s`.
auto turned(double percent, double over_s) {
  return [=](double t) {
    const double since = std::max(0.0, t - 20.0), turning = std::min(since, over_s);
    return t + percent / 100.0 * (0.5 * turning * turning / over_s + since - turning);
  };
}

// The root mean square of a sine is its peak over the root of two: 0.212 % (derived).
TEST(ScaleCourse, ReadsTheWowOfAMachine) {
  const auto wow = course_of(played_chords({.seconds = 40.0, .seed = 1, .chord_s = 1.1}, wowing(0.003, 1.2))).wow();
  ASSERT_TRUE(wow && wow->u95_percent && wow->rate_hz);
  EXPECT_NEAR(wow->rms_percent, 0.3 / std::numbers::sqrt2, 0.1 * 0.3 / std::numbers::sqrt2);
  EXPECT_NEAR(*wow->rate_hz, 1.2, *wow->rate_u95_hz);
}

TEST(ScaleCourse, ReadsDrift) {
  for (const double percent : {0.2, -0.2, 0.0}) {
    const double a_second = percent / 100.0 / 60.0;
    const auto x = played_chords({.seconds = 80.0, .seed = 21}, [=](double t) { return t + 0.5 * a_second * t * t; });
    const auto drift = course_of(x).drift_percent_per_minute();
    ASSERT_TRUE(drift) << percent;
    EXPECT_NEAR(*drift, percent, 0.05);
  }
}

// A screw is turned within some tenths of a second or more; half a semitone is 2.93 % (derived: 2^(1/24) - 1), so that
// the notes alone do not tell a turn of 3 % from one of -2.8 %.
TEST(ScaleCourse, ReadsWhatATurnChanged) {
  for (const double percent : {1.0, -1.0, 3.0, -3.0, 5.0})
    for (const double over_s : {0.3, 2.0}) {
      const auto lately = course_of(played_chords({.seconds = 32.0, .seed = 31}, turned(percent, over_s))).lately();
      ASSERT_TRUE(lately) << percent;
      EXPECT_NEAR(lately->percent, percent, std::max(0.1, lately->u95_percent)) << "within " << over_s << " s";
      EXPECT_LT(lately->u95_percent, 0.5);
    }
}

// Without the rule 3 % reads 0.4 % of wow on a steady machine. A turn of 1 % in that time is as quick as wow is.
TEST(ScaleCourse, AQuickTurnIsNoWow) {
  for (const double percent : {3.0, -3.0, 5.0}) {
    const auto wow = course_of(played_chords({.seconds = 40.0, .seed = 31}, turned(percent, 0.3))).wow();
    EXPECT_LT(wow ? wow->rms_percent : 0.0, 0.06) << percent;
    EXPECT_FALSE(wow && wow->rate_hz) << percent;
  }
}

TEST(ScaleCourse, ReadsNoTurnWhereThereIsNone) {
  for (const std::uint64_t seed : {41u, 42u, 43u}) {
    const auto lately = course_of(played_chords({.seconds = 25.0, .seed = seed})).lately();
    ASSERT_TRUE(lately);
    EXPECT_NEAR(lately->percent, 0.0, lately->u95_percent) << seed;
  }
}

TEST(ScaleCourse, SaysWhenItKnowsTooLittle) {
  ScaleCourse course;
  EXPECT_FALSE(course.movement() || course.lately() || course.wow() || course.drift_percent_per_minute());
  const auto eight_seconds = course_of(played_chords({.seconds = 8.0, .seed = 51}));
  EXPECT_FALSE(eight_seconds.wow());
  EXPECT_FALSE(eight_seconds.lately());
  const auto half_a_minute = course_of(played_chords({.seconds = 30.0, .seed = 51}));
  EXPECT_TRUE(half_a_minute.movement());
  EXPECT_TRUE(half_a_minute.lately());
  EXPECT_FALSE(half_a_minute.drift_percent_per_minute());  // nothing before a minute
  EXPECT_FALSE(course_of(std::vector<float>(test::frames_in(20.0, kSongRate_hz))).movement());
}

// The movement adds up to what the machine did: 1 % is ln(1.01).
TEST(ScaleCourse, HandsOnTheMovement) {
  ConcertPitch pitch;
  ScaleCourse course;
  double moved = 0.0, before_s = -1.0;
  test::for_partials(played_chords({.seconds = 30.0, .seed = 61}, turned(1.0, 1.0)),
                     [&](std::span<const Partial> frame) {
                       pitch.add(frame);
                       course.add(frame, pitch.centre_cents());
                       const auto movement = course.movement();
                       if (!movement) return;
                       EXPECT_GT(movement->time_s, before_s);
                       EXPECT_GT(movement->step_sigma, 0.0);
                       before_s = movement->time_s;
                       moved += movement->step;
                     });
  EXPECT_NEAR(moved, std::log(1.01), 0.001);
  EXPECT_NEAR(before_s, 30.0, 0.5);
}

TEST(ScaleCourse, IsAsNewAfterReset) {
  ScaleCourse course = course_of(played_chords({.seconds = 20.0, .seed = 71}));
  ASSERT_TRUE(course.lately());
  course.reset();
  EXPECT_FALSE(course.movement() || course.lately() || course.wow());
}

TEST(ScaleCourse, SurvivesWhatIsNoNumber) {
  constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
  auto x = played_chords({.seconds = 25.0, .seed = 81});
  x[50000] = std::numeric_limits<float>::quiet_NaN();
  x[150000] = 1e30F;
  const auto course = course_of(x);
  ASSERT_TRUE(course.lately() && course.movement());
  EXPECT_NEAR(course.lately()->percent, 0.0, course.lately()->u95_percent);
  EXPECT_FALSE(course.wow());
  ScaleCourse none;
  none.add({}, kNan);
  EXPECT_FALSE(none.lately());
}

}  // namespace
}  // namespace four76
