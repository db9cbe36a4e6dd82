#include <cmath>
#include <random>
#include <vector>

#include "core/song/best_way.hpp"
#include "core/song/song_course.hpp"
#include "gtest/gtest.h"

namespace four76 {
namespace {

constexpr std::size_t kColumns = 100;

std::vector<float> noise_of(std::size_t rows, std::uint32_t seed, std::size_t columns = kColumns) {
  std::mt19937 random(seed);
  std::normal_distribution<float> gaussian;
  std::vector<float> scores(rows * columns);
  for (float& score : scores) score = gaussian(random);
  return scores;
}

// A line that in no row stands out of the noise, whose largest of a hundred is 2.5, is found by all rows together.
TEST(BestWay, FollowsALineTooWeakToBeSeenInOneRow) {
  constexpr std::size_t kRows = 200;
  auto scores = noise_of(kRows, 3);
  const auto column_at = [](std::size_t row) {
    return static_cast<std::size_t>(std::lround(50.0 + 20.0 * std::sin(0.05 * static_cast<double>(row))));
  };
  for (std::size_t row = 0; row < kRows; ++row) scores[row * kColumns + column_at(row)] += 2.0F;
  const Way way = best_way(scores, kColumns, 1, {.wander_columns = 1.0, .most_columns = 3, .jump = 20.0});
  ASSERT_EQ(way.columns.size(), kRows);
  std::size_t on_line = 0;
  for (std::size_t row = 0; row < kRows; ++row)
    on_line += std::abs(static_cast<double>(way.columns[row]) - static_cast<double>(column_at(row))) <= 2.0 ? 1 : 0;
  EXPECT_GT(on_line, kRows * 9 / 10);
}

TEST(BestWay, JumpsWhereItPaysAndNeverMovesIntoAnotherLane) {
  std::vector<float> scores(40 * kColumns);
  for (std::size_t row = 0; row < 40; ++row) scores[row * kColumns + (row < 20 ? 48 : 51)] = 2.0F;
  // Three columns apart, but the lanes end between them: 20 rows of 2 pay for a jump of 30, 14 would not.
  const WayCosts costs{.wander_columns = 2.0, .most_columns = 5, .jump = 30.0};
  const Way way = best_way(scores, kColumns, 2, costs);
  EXPECT_EQ(way.columns[19], 48u);
  EXPECT_EQ(way.columns[20], 51u);
  EXPECT_DOUBLE_EQ(way.score, 80.0 - 30.0);
  const Way dear = best_way(scores, kColumns, 2, {.wander_columns = 2.0, .most_columns = 5, .jump = 50.0});
  EXPECT_EQ(dear.columns.front(), dear.columns.back());
  // In one lane it moves: three columns of a wander of two cost 9/8.
  EXPECT_NEAR(best_way(scores, kColumns, 1, costs).score, 80.0 - 1.125, 1e-5);
}

TEST(BestWay, LeansForNothingAndPaysForWhatItMovesOtherwise) {
  std::vector<float> scores(40 * kColumns);
  const auto column_at = [](std::size_t row) {
    return static_cast<std::size_t>(80 + std::lround(-1.5 * static_cast<double>(row)));
  };
  for (std::size_t row = 0; row < 40; ++row) scores[row * kColumns + column_at(row)] = 2.0F;
  const Way way = best_way(scores, kColumns, 1, {.wander_columns = 1.0, .most_columns = 4, .lean_columns = -1.5});
  EXPECT_EQ(way.columns.front(), 80u);
  EXPECT_EQ(way.columns.back(), column_at(39));
  EXPECT_DOUBLE_EQ(way.score, 80.0);
  const Way level = best_way(scores, kColumns, 1, {.wander_columns = 1.0, .most_columns = 4});
  EXPECT_LT(level.score, way.score - 10.0);
}

// What each row's speed says costs nothing, and what goes against it does: a way of four columns a row, seen at the
// speeds of it, and beside it one that stands still and was seen at the same speeds.
TEST(BestWay, MovesAsTheSpeedsOfItsRowsSay) {
  constexpr std::size_t kRows = 20;
  std::vector<float> scores(kRows * kColumns);
  std::vector<std::int8_t> speeds(scores.size());
  for (std::size_t row = 0; row < kRows; ++row) {
    scores[row * kColumns + 10 + 4 * row] = 1.0F;
    scores[row * kColumns + 90] = 1.0F;
    for (std::size_t column = 0; column < kColumns; ++column) speeds[row * kColumns + column] = 2;
  }
  WayCosts costs{.wander_columns = 1.0, .most_columns = 6};
  const Way level = best_way(scores, kColumns, 1, costs);
  EXPECT_EQ(level.columns.front(), 90u);
  EXPECT_EQ(level.columns.back(), 90u);
  costs.speeds = speeds;
  costs.speed_columns = 2.0;
  const Way moving = best_way(scores, kColumns, 1, costs);
  EXPECT_EQ(moving.columns.front(), 10u);
  EXPECT_EQ(moving.columns.back(), 10u + 4 * (kRows - 1));
  EXPECT_DOUBLE_EQ(moving.score, kRows);
}

// Notes of three rows, each as good at every period of its own pitch: the columns are a comb, of which one tooth lies
// on the line. A way that expects the wrong lean slips by a tooth from note to note, and hardly loses by it.
constexpr std::size_t kWide = 1200;

std::vector<float> notes_along(double lean, std::size_t rows, std::uint32_t seed) {
  auto scores = noise_of(rows, seed, kWide);
  std::mt19937 random(seed + 1);
  std::uniform_int_distribution<std::size_t> any_period(12, 36);
  for (std::size_t note = 0; note < rows; note += 3) {
    const std::size_t period = any_period(random);
    for (std::size_t row = note; row < std::min(rows, note + 3); ++row) {
      const double middle = static_cast<double>(row) - 0.5 * static_cast<double>(rows);
      const auto line = static_cast<std::size_t>(std::lround(0.5 * kWide + lean * middle));
      for (std::size_t at = line % period; at < kWide; at += period) scores[row * kWide + at] += 4.0F;
    }
  }
  return scores;
}

// To a step of a third of the wander, which costs a straight way a twentieth a row (derived).
TEST(BestLean, IsTheOneAtWhichNotesNeedNotSlip) {
  constexpr std::size_t kRows = 150;
  const WayCosts costs{.wander_columns = 6.0, .most_columns = 14, .jump = 14.0};
  for (const double lean : {-6.0, 0.0, 4.0, 6.0}) {
    const auto scores = notes_along(lean, kRows, 5);
    const Lean found = best_lean(scores, kWide, 1, costs, 8.0, 2.0);
    EXPECT_NEAR(found.columns, lean, 2.1) << lean;
  }
}

TEST(BestLean, OfNothingIsNone) {
  EXPECT_EQ(best_lean({}, 10, 1, {}, 1.0, 0.5).columns, 0.0);
  EXPECT_EQ(best_lean({}, 0, 0, {}, 1.0, 0.5).score, 0.0);
}

TEST(BestWay, OfNothingIsNothing) {
  EXPECT_TRUE(best_way({}, 10, 1, {}).columns.empty());
  EXPECT_TRUE(best_way({}, 0, 0, {}).columns.empty());
}

std::vector<LaidStretch> stretches_of(double slope, double cut_at_s, double cut_s, double spread_s,
                                      std::uint32_t seed = 9) {
  std::mt19937 random(seed);
  std::normal_distribution<> gaussian;
  std::vector<LaidStretch> stretches;
  for (double middle_s = 3.0; middle_s < 38.0; middle_s += kCourseHop_s)
    stretches.push_back(
        {middle_s, 20.0 + slope * middle_s + (middle_s > cut_at_s ? cut_s : 0.0) + spread_s * gaussian(random), 0.7});
  return stretches;
}

// Twelve stretches 3 s apart, 6 ms off each: least squares are off by 0.00017 (derived).
TEST(SongCourse, TellsTheSpeedFromWhereTheStretchesLie) {
  double squares = 0.0;
  for (std::uint32_t seed = 1; seed <= 100; ++seed) {
    const SongCourse course = course_through(stretches_of(0.004, 99.0, 0.0, 0.006, seed));
    squares += (course.slope - 0.004) * (course.slope - 0.004);
    ASSERT_EQ(course.leads_s.size(), 1u);
    EXPECT_NEAR(course.leads_s[0], 20.0, 0.02);
    EXPECT_NEAR(course.agreement, 0.7, 1e-9);
  }
  EXPECT_NEAR(std::sqrt(squares / 100.0), 0.00017, 0.00003);
}

// A cut of 0.3 s in 40 s looks like a percent of speed to a line through all of it.
TEST(SongCourse, IsNotTurnedByACut) {
  for (const double cut_s : {0.15, 0.3, 0.6, 4.0}) {
    const SongCourse course = course_through(stretches_of(-0.002, 17.0, cut_s, 0.006));
    EXPECT_NEAR(course.slope, -0.002, 0.0012) << cut_s;  // 0.0004 in five and seven stretches, derived
    ASSERT_EQ(course.leads_s.size(), 2u) << cut_s;
    EXPECT_NEAR(std::abs(course.leads_s[1] - course.leads_s[0]), cut_s, 0.03);
    EXPECT_LT(course.agreement, 0.65);  // the part behind the cut counts as chance
  }
}

TEST(SongCourse, HasNoPlaceWhereNothingAgrees) {
  std::vector<LaidStretch> stretches = stretches_of(0.0, 99.0, 0.0, 0.006);
  for (LaidStretch& stretch : stretches) stretch.agreement = 0.55;
  EXPECT_TRUE(course_through(stretches).leads_s.empty());
  EXPECT_TRUE(course_through({}).leads_s.empty());
}

}  // namespace
}  // namespace four76
