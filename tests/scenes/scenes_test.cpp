// The promises on scenes, held on a fixed seed: never silently wrong, and plain tapes are measured.
#include <gtest/gtest.h>

#include <algorithm>

#include "tests/scenes/figures.hpp"

namespace four76::scenes {
namespace {

constexpr std::uint64_t kSeed = 1;

// One scene of every class is too few to judge shares by: what holds of every single reading is asked.
TEST(Scenes, OfEveryClassAreHeardWithoutASilentWrong) {
  const auto all = play_all(list_scenes(kSeed, 1), 1, false);
  const Score score = rows_by_class(all).back().score;
  EXPECT_EQ(score.silent_wrong, 0);
  EXPECT_GT(score.measured, 0);
}

// With sanitizers it takes half an hour.
#if !defined(FOUR76_SANITIZED)
constexpr std::ptrdiff_t kPromises = 8;

TEST(Scenes, KeepThePromises) {
  const auto figures = figures_of(play_all(list_scenes(kSeed, 8), 1, false));
  EXPECT_EQ(std::ranges::count_if(figures, &Figure::limited), kPromises);  // one that has nothing to count is none
  for (const Figure& figure : figures) EXPECT_TRUE(figure.holds()) << line_of(figure);
}
#endif

TEST(Scenes, AreTheSameHoweverManyThereAre) {
  const auto few = list_scenes(kSeed, 1, "hum 0");
  const auto many = list_scenes(kSeed, 5);
  ASSERT_EQ(few.size(), 1u);
  for (const Listed& listed : many) {
    if (listed.name != few[0].name) continue;
    EXPECT_EQ(listed.make().samples, few[0].make().samples);
  }
}

}  // namespace
}  // namespace four76::scenes
