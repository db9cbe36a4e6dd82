// The promises on scenes, held on a fixed seed: never silently wrong, and plain tapes are measured.
#include <gtest/gtest.h>

#include "tests/scenes/score.hpp"

namespace four76::scenes {
namespace {

TEST(Scenes, AreNeverMeasuredSilentlyWrong) {
  Score all;
  for_each_scene(20, 6, "", [&](const Scene& scene) {
    const Outcome outcome = play(scene);
    EXPECT_EQ(outcome.score.silent_wrong, 0) << describe(scene, outcome);
    EXPECT_EQ(outcome.score.wrongly_withheld, 0) << describe(scene, outcome);
    EXPECT_EQ(outcome.score.wrongly_measured, 0) << describe(scene, outcome);
    all.add(outcome.score);
  });
  EXPECT_GE(all.inside, 0.97 * all.measured);
  EXPECT_GE(all.named, 0.95 * all.nameable);
  EXPECT_LE(static_cast<double>(all.dial_rows_off), 0.003 * static_cast<double>(all.dial_rows));
}

}  // namespace
}  // namespace four76::scenes
