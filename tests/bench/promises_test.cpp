#include "tests/bench/promises.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace four76::bench {
namespace {

TEST(Promises, AreKeptUpToTheirLimits) {
  EXPECT_TRUE(at_most("a", 2.0, 2.0).kept);
  EXPECT_FALSE(at_most("a", 2.01, 2.0).kept);
  EXPECT_TRUE(at_least("a", 2.0, 2.0).kept);
  EXPECT_FALSE(at_least("a", 1.99, 2.0).kept);
  EXPECT_TRUE(between("a", 95.0, 94.0, 96.0).kept);
  EXPECT_FALSE(between("a", 93.9, 94.0, 96.0).kept);
  EXPECT_FALSE(between("a", 100.0, 94.0, 96.0).kept);
  EXPECT_FALSE(all_between("a", {1.0, 1.3}, 0.8, 1.2).kept);
  EXPECT_TRUE(all_between("a", {1.0, 1.1}, 0.8, 1.2).kept);
}

TEST(Promises, AreBrokenByAFigureThatIsNotThere) {
  const double none = std::nan("");
  EXPECT_FALSE(at_most("a", none, 2.0).kept);
  EXPECT_FALSE(at_least("a", none, 2.0).kept);
  EXPECT_FALSE(between("a", none, 0.0, 2.0).kept);
  EXPECT_FALSE(all_between("a", {1.0, none}, 0.0, 2.0).kept);
  EXPECT_FALSE(all_between("a", {}, 0.0, 2.0).kept);
}

TEST(Promises, OneThatIsBrokenIsAFailureAndSoAreNone) {
  EXPECT_TRUE(all_kept({at_most("a", 1.0, 2.0)}));
  EXPECT_FALSE(all_kept({at_most("a", 1.0, 2.0), at_most("b", 3.0, 2.0)}));
  EXPECT_FALSE(all_kept({}));
}

TEST(Promises, ShowTheLeastAndTheMostOfSeveralFigures) {
  EXPECT_EQ(all_between("a", {1.26, 0.5, 1.04}, 0.0, 2.0, {1, " s"}).found, "0.5 s to 1.3 s");
  EXPECT_EQ(all_between("a", {0.401, 0.399}, 0.0, 2.0, {2, " s"}).found, "0.40 s");
  EXPECT_EQ(all_between("a", {}, 0.0, 2.0).found, "none");
}

TEST(Promises, SayLimitAndFigureAlike) {
  const Promises promises{at_most("jitter", 0.12345, 0.5, {2, " %"}), between("held", 97.0, 94.0, 96.0, {0, " %"})};
  EXPECT_EQ(table_of(promises),
            "| promise | limit | found | kept |\n| --- | ---: | ---: | ---: |\n"
            "| jitter | at most 0.50 % | 0.12 % | yes |\n| held | 94 % to 96 % | 97 % | **no** |\n");
}

}  // namespace
}  // namespace four76::bench
