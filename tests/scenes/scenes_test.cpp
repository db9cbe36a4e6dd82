// The promises on scenes, held on a fixed seed: never silently wrong, and plain tapes are measured.
#include <gtest/gtest.h>

#include "tests/scenes/figures.hpp"

namespace four76::scenes {
namespace {

// Sanitizers take ten times as long, and the figures are the same: there it is enough that every class runs.
#if defined(FOUR76_SANITIZED)
constexpr int kPerClass = 1;
constexpr bool kJudge = false;
#else
constexpr int kPerClass = 8;
constexpr bool kJudge = true;
#endif
constexpr std::uint64_t kSeed = 1;

TEST(Scenes, KeepThePromises) {
  const auto all = play_all(list_scenes(kSeed, kPerClass), 1, false);
  for (const Figure& figure : figures_of(all)) EXPECT_TRUE(figure.holds() || !kJudge) << line_of(figure);
}

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
