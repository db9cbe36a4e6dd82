// What is known of a machine, as text and back; and what is refused.
#include "core/records/parts_text.hpp"

#include <gtest/gtest.h>

#include <string>

namespace four76 {
namespace {

TEST(PartsText, ComesBackAsItWent) {
  KnownParts known;
  EXPECT_EQ(text_of(known), "");
  EXPECT_EQ(known_parts_of(""), known);
  known.capstan_diameter_mm = 2.05;
  known.motor_rpm = 2400.0;
  known.side_played_share = 0.25;
  known.tape_kind = TapeKind::c90;
  EXPECT_EQ(text_of(known), "capstan_mm=2.05;motor_rpm=2400;side_played=0.25;tape=c90");
  EXPECT_EQ(known_parts_of(text_of(known)), known);
  known = {2.0, 12.0, 2400.0, 6.5, 420.0, 40.0, 22.0, 1.0, TapeKind::c120, 4.7625};
  EXPECT_EQ(known_parts_of(text_of(known)), known);
}

// A number so small that C would write it with an exponent, which is not read: all of the parts were lost with it.
TEST(PartsText, ComesBackHoweverSmallItIs) {
  const auto known = known_parts_of("capstan_mm=2.05;side_played=0.00000000046589");
  ASSERT_TRUE(known.has_value());
  EXPECT_FALSE(fault_in(*known).has_value());
  EXPECT_EQ(text_of(*known), "capstan_mm=2.05;side_played=0");
}

TEST(PartsText, RefusesWhatIsNotOfItsForm) {
  for (const char* text : {"capstan_mm", "capstan_mm=", "capstan_mm=two", "capstan_mm=2mm", "capstan_mm=nan", "=2",
                           "capstan_mm=2;;roller_mm=12", "wheel_mm=2", "tape=c46", "tape=c90;tape=c46", ";",
                           "capstan_mm=2,5", "capstan_mm=1e999", "<b>", "roller_mm=12; capstan_mm=2"})
    EXPECT_FALSE(known_parts_of(text).has_value()) << text;
  EXPECT_FALSE(known_parts_of(std::string(401, 'x')).has_value());
  EXPECT_FALSE(known_parts_of(std::string("capstan_mm=2\0", 13)).has_value());
}

// Of the form, but no part of a machine: that is for fault_in to say.
TEST(PartsText, LeavesTheJudgementToOthers) {
  const auto known = known_parts_of("capstan_mm=200");
  ASSERT_TRUE(known.has_value());
  EXPECT_TRUE(fault_in(*known).has_value());
}

}  // namespace
}  // namespace four76
