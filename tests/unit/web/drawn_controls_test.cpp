// What the drawing reports of itself: each control once it is there, in the order on the screen, and nothing while
// nothing changes.
#include "web/draw/drawn_controls.hpp"

#include <gtest/gtest.h>

#include <string>

namespace four76 {
namespace {

using Kind = DrawnControl::Kind;

constexpr Rect kLeft{10.0F, 10.0F, 50.0F, 44.0F}, kRight{70.0F, 10.0F, 50.0F, 44.0F},
    kBelow{10.0F, 60.0F, 110.0F, 44.0F};

// A frame with a view that draws from right to left, and another one under it.
void draw(DrawnControls& controls, bool chosen = true) {
  controls.begin();
  controls.begin_part();
  (void)controls.add("hz", kRight, "Hz", chosen ? Kind::on : Kind::off);
  (void)controls.add("percent", kLeft, "%", chosen ? Kind::off : Kind::on);
  controls.begin_part();
  (void)controls.add("more", kBelow, "More");
  controls.end();
}

TEST(DrawnControls, AreToldInTheOrderOnTheScreen) {
  DrawnControls controls;
  controls.needs(540.0F);
  draw(controls);
  const auto told = controls.news(0.0);
  ASSERT_TRUE(told);
  EXPECT_TRUE(told->starts_with(R"({"height":540)")) << *told;
  const auto percent = told->find(R"(["percent","%","off",10)"), hz = told->find(R"(["hz","Hz","on",70)");
  const auto more = told->find(R"(["more","More","button",10)");
  ASSERT_NE(more, std::string::npos) << *told;
  EXPECT_LT(percent, hz);
  EXPECT_LT(hz, more);
}

TEST(DrawnControls, StandInARowWhereTheirMiddlesAreAtOneHeight) {
  DrawnControls controls;
  controls.begin();
  (void)controls.add("minus", {10.0F, 40.0F, 50.0F, 20.0F}, "slower");
  (void)controls.add("screw", {70.0F, 0.0F, 100.0F, 100.0F}, "", Kind::slider);
  (void)controls.add("plus", {180.0F, 40.0F, 50.0F, 20.0F}, "faster");
  controls.end();
  const auto told = controls.news(0.0);
  ASSERT_TRUE(told);
  EXPECT_LT(told->find("minus"), told->find("screw"));
  EXPECT_LT(told->find("screw"), told->find("plus"));
}

TEST(DrawnControls, ThePartsKeepTheOrderOfTheirDrawing) {
  DrawnControls controls;  // two columns: the left one is read to its end
  controls.begin();
  controls.begin_part();
  (void)controls.add("left", {0.0F, 200.0F, 50.0F, 44.0F}, "left");
  controls.begin_part();
  (void)controls.add("right", {100.0F, 0.0F, 50.0F, 44.0F}, "right");
  controls.end();
  const auto told = controls.news(0.0);
  ASSERT_TRUE(told);
  EXPECT_LT(told->find("left"), told->find("right"));
}

TEST(DrawnControls, NothingIsToldWhileNothingChanges) {
  DrawnControls controls;
  draw(controls);
  EXPECT_TRUE(controls.news(0.0));
  for (int i = 1; i < 100; ++i) {
    draw(controls);
    EXPECT_FALSE(controls.waits());
    EXPECT_FALSE(controls.news(i));
  }
}

TEST(DrawnControls, EachChangeIsToldOnceAndTenTimesASecondAtTheMost) {
  DrawnControls controls;
  draw(controls);
  ASSERT_TRUE(controls.news(0.0));
  int told = 0;
  for (int frame = 1; frame <= 60; ++frame) {
    draw(controls, frame % 2 == 0);
    told += controls.news(frame / 60.0) ? 1 : 0;
  }
  EXPECT_LE(told, 10);
  EXPECT_GE(told, 8);
  draw(controls, false);
  (void)controls.news(2.0);
  draw(controls, false);
  EXPECT_FALSE(controls.news(3.0));
}

TEST(DrawnControls, WhatIsGoneIsTold) {
  DrawnControls controls;
  draw(controls);
  ASSERT_TRUE(controls.news(0.0));
  controls.begin();
  controls.begin_part();
  controls.end();
  const auto told = controls.news(1.0);
  ASSERT_TRUE(told);
  EXPECT_NE(told->find(R"("controls":[])"), std::string::npos) << *told;
}

TEST(DrawnControls, APressIsAnsweredByItsControlAndOnce) {
  DrawnControls controls;
  controls.press("more");
  controls.begin();
  EXPECT_FALSE(controls.add("hz", kRight, "Hz"));
  EXPECT_TRUE(controls.add("more", kBelow, "More"));
  controls.end();
  controls.begin();
  EXPECT_FALSE(controls.add("more", kBelow, "More"));
  controls.end();
}

TEST(DrawnControls, APressOfWhatIsGoneIsForgotten) {
  DrawnControls controls;
  controls.press("more");
  controls.begin();
  controls.end();
  controls.begin();
  EXPECT_FALSE(controls.add("more", kBelow, "More"));
  controls.end();
}

}  // namespace
}  // namespace four76
