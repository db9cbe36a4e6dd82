#include "core/reading.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <string_view>

namespace four76 {
namespace {

TEST(ReasonList, KeepsEachReasonOnceInOrder) {
  ReasonList list;
  list.add(Reason::room_noise);
  list.add(Reason::clipping);
  list.add(Reason::room_noise);
  ASSERT_EQ(list.size(), 2u);
  EXPECT_EQ(*list.begin(), Reason::room_noise);
  list.add_first(Reason::clipping);
  ASSERT_EQ(list.size(), 2u);
  EXPECT_EQ(*list.begin(), Reason::clipping);
}

TEST(ReasonList, HoldsEveryReasonThereIs) {
  ReasonList list;
  for (std::size_t i = 0; i < kReasonCount; ++i) list.add(static_cast<Reason>(i));
  EXPECT_EQ(list.size(), kReasonCount);
}

TEST(Reading, NamesEveryReason) {
  for (std::size_t i = 0; i < kReasonCount; ++i) EXPECT_FALSE(name_of(static_cast<Reason>(i)).empty());
}

// +1 % is 17.23 cents, -1 % is -17.40 (sources.md#hearing).
TEST(Reading, CentsOfPercent) {
  EXPECT_NEAR(cents_of_percent(1.0), 17.23, 0.005);
  EXPECT_NEAR(cents_of_percent(-1.0), -17.40, 0.005);
}

}  // namespace
}  // namespace four76
