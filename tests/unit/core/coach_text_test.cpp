#include "core/records/coach_text.hpp"

#include <gtest/gtest.h>

namespace four76 {
namespace {

TEST(CoachText, HasWordsForEveryAdvice) {
  for (int kind = 0; kind <= static_cast<int>(AdviceKind::stop_nearly); ++kind) {
    Advice advice;
    advice.kind = static_cast<AdviceKind>(kind);
    EXPECT_FALSE(coach_text(advice).large.empty()) << kind;
    EXPECT_FALSE(coach_text(advice).detail.empty()) << kind;
    EXPECT_FALSE(name_of(advice.kind).empty()) << kind;
  }
}

TEST(CoachText, NamesMultiplesByTheNearest) {
  EXPECT_EQ(times_text(0.1), "About a tenth as much");
  EXPECT_EQ(times_text(0.52), "About half as much");
  EXPECT_EQ(times_text(1.05), "About as much again");
  EXPECT_EQ(times_text(1.5), "About one and a half times as much");
  EXPECT_EQ(times_text(6.2), "About 6 times as much");
  EXPECT_EQ(times_text(15.0), "Much more");
  EXPECT_EQ(signed_percent_text(0.314), "+0.31 %");
  EXPECT_EQ(signed_percent_text(-0.314), "\u22120.31 %");
  EXPECT_EQ(signed_percent_text(0.041), "+0.04 %");
  EXPECT_EQ(signed_percent_text(0.001), "0 %");
}

}  // namespace
}  // namespace four76
