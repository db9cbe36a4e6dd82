#include "web/draw/ribbon_scale.hpp"

#include <gtest/gtest.h>

#include <vector>

namespace four76 {
namespace {

draw::RibbonScale scale_of(const std::vector<double>& percents, double tolerance_percent = 0.5) {
  std::vector<TrailPoint> trail;
  double time_s = 100.0;
  for (const double percent : percents) trail.push_back({time_s += 1.0, Status::measured, percent, 0.01});
  draw::RibbonContent content;
  content.trail = trail;
  content.now_s = time_s;
  content.tolerance_percent = tolerance_percent;
  return draw::ribbon_scale(content, {0.0F, 0.0F, 400.0F, 100.0F});
}

TEST(RibbonScale, ShowsTheTapeAtItsUsualWidthWhileTheLineIsNearIt) {
  const auto at = scale_of({0.0, 0.6, -0.7});
  EXPECT_FALSE(at.widened);
  EXPECT_NEAR(at.half_h, 28.0F, 0.1F);
  EXPECT_NEAR(at.y(0.5), at.centre_y - at.half_h, 0.01F);
}

TEST(RibbonScale, WidensInStepsSoThatTheLineStaysInSight) {
  const auto at = scale_of({0.0, 1.8});
  EXPECT_TRUE(at.widened);
  EXPECT_EQ(at.range_percent, 2.0);
  EXPECT_FALSE(at.off_area(1.8));
  EXPECT_NEAR(at.half_h, 12.5F, 0.1F);  // the tolerance stays the drawn tape
  EXPECT_EQ(scale_of({-4.6}).range_percent, 10.0);
  EXPECT_EQ(scale_of({25.0}).range_percent, 20.0);
  EXPECT_EQ(scale_of({4.0}, 3.0).range_percent, 3.0 / static_cast<double>(0.56F));
}

TEST(RibbonScale, GoesByWhatIsStillInSight) {
  draw::RibbonContent content;
  const std::vector<TrailPoint> trail = {{100.0, Status::measured, 6.0, 0.01}, {140.0, Status::measured, 0.1, 0.01}};
  content.trail = trail;
  content.now_s = 140.0;
  EXPECT_FALSE(draw::ribbon_scale(content, {0.0F, 0.0F, 400.0F, 100.0F}).widened);
}

}  // namespace
}  // namespace four76
