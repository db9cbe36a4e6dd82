#include "core/records/link.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <string>

namespace four76 {
namespace {

LinkSettings settings_of(std::string_view fragment) {
  const auto parsed = parse_link(fragment);
  EXPECT_TRUE(parsed) << fragment << ": " << message_of(parsed.fault());
  return parsed ? parsed.value() : LinkSettings{};
}

std::optional<LinkFault> fault_in(std::string_view fragment) {
  const auto parsed = parse_link(fragment);
  if (parsed) return std::nullopt;
  EXPECT_FALSE(message_of(parsed.fault()).empty());
  return parsed.fault();
}

TEST(Link, CarriesToneToleranceAndNote) {
  const auto settings = settings_of("#v1.tone=3150&tol=0.5&note=Side%20A%2C%20%C3%BC%3D1%26");
  EXPECT_EQ(settings.tone_hz, 3150.0);
  EXPECT_EQ(settings.tolerance_percent, 0.5);
  EXPECT_EQ(settings.note, "Side A, \xC3\xBC=1&");
}

TEST(Link, TakesAnyOrderAndLeavesOutWhatItDoesNotCarry) {
  EXPECT_EQ(settings_of("v1.tol=1.5&tone=333.25"), (LinkSettings{333.25, 1.5, std::nullopt}));
  EXPECT_EQ(settings_of("v1.note=a=b+c"), (LinkSettings{std::nullopt, std::nullopt, "a=b+c"}));
  EXPECT_EQ(settings_of("v1."), LinkSettings{});
  EXPECT_EQ(settings_of(""), LinkSettings{});
  EXPECT_EQ(settings_of("#"), LinkSettings{});
}

TEST(Link, RefusesOtherVersionsAndWhatIsNoLink) {
  EXPECT_EQ(fault_in("v2.tone=3000"), LinkFault::unknown_version);
  EXPECT_EQ(fault_in("v10.tone=3000"), LinkFault::unknown_version);
  EXPECT_EQ(fault_in("v01.tone=3000"), LinkFault::unknown_version);
  for (const char* text : {"guide", "v1", "v.tone=3000", "V1.tone=3000", "tone=3000", " v1.tone=3000", "##v1."})
    EXPECT_EQ(fault_in(text), LinkFault::not_settings) << text;
}

TEST(Link, RefusesBrokenUnknownAndRepeatedParts) {
  for (const char* text :
       {"v1.tone", "v1.tone=", "v1.=3000", "v1.&", "v1.tone=3000&", "v1.tone=3000&&tol=1", "v1.note="})
    EXPECT_EQ(fault_in(text), LinkFault::broken_pair) << text;
  for (const char* text : {"v1.speed=3000", "v1.Tone=3000", "v1.tone%3D3=1", "v1.tone=3000&x=1"})
    EXPECT_EQ(fault_in(text), LinkFault::unknown_key) << text;
  for (const char* text : {"v1.tone=3000&tone=3000", "v1.tol=1&tol=2", "v1.note=a&note=a"})
    EXPECT_EQ(fault_in(text), LinkFault::repeated_key) << text;
}

TEST(Link, RefusesWhatIsNotAPlainNumber) {
  for (const char* number : {"abc", "3e3", "+3000", "-3000", "3000.", ".5", "3 000", "3,000", "0x100", "nan", "inf",
                             "3000.0.0", "30%30", "00000000000003000", "%"})
    EXPECT_EQ(fault_in(std::string("v1.tone=") + number), LinkFault::bad_number) << number;
}

TEST(Link, RefusesNumbersOutOfRange) {
  EXPECT_EQ(settings_of("v1.tone=100").tone_hz, 100.0);
  EXPECT_EQ(settings_of("v1.tone=10000").tone_hz, 10000.0);
  for (const char* text : {"v1.tone=99.9", "v1.tone=10000.1", "v1.tone=0", "v1.tone=9999999999999999", "v1.tol=0",
                           "v1.tol=0.049", "v1.tol=10.01"})
    EXPECT_EQ(fault_in(text), LinkFault::out_of_range) << text;
}

TEST(Link, RefusesDamagedText) {
  for (const char* text :
       {"%", "%4", "%G1", "a%zz", "a b", "\xC3\xBC", "%0A", "%00", "%7F", "%C2%85",  // broken, raw, control
        "%FF", "%C3", "%C3%28", "%80", "%C0%AF", "%E0%80%80", "%ED%A0%80", "%F4%90%80%80", "%F0%9F%8E"})
    EXPECT_EQ(fault_in(std::string("v1.note=") + text), LinkFault::bad_encoding) << text;
}

TEST(Link, RefusesMoreThanFourHundredCharacters) {
  const std::string longest = "v1.note=" + std::string(kLongestLink - 8, 'x');
  EXPECT_EQ(fault_in('#' + longest), std::nullopt);
  EXPECT_EQ(fault_in(longest + 'x'), LinkFault::too_long);
}

TEST(Link, WritesWhatItReadsBack) {
  for (const LinkSettings& settings :
       {LinkSettings{}, LinkSettings{3150.0, 0.5, "Side A & 100 % \xF0\x9F\x8E\xB5"},
        LinkSettings{100.000001, 10.0, std::nullopt}, LinkSettings{9999.999999, 0.05, "#v1.tone=1"},
        LinkSettings{440.5, std::nullopt, "~-._"}}) {
    const auto link = write_link(settings);
    ASSERT_TRUE(link);
    EXPECT_EQ(settings_of(*link), settings) << *link;
  }
  EXPECT_EQ(write_link({3000.0, 0.3, "a b"}), "v1.tone=3000&tol=0.3&note=a%20b");
}

TEST(Link, WritesNothingThatItWouldNotRead) {
  EXPECT_FALSE(write_link({99.0, std::nullopt, std::nullopt}));
  EXPECT_FALSE(write_link({std::nan(""), std::nullopt, std::nullopt}));
  EXPECT_FALSE(write_link({std::nullopt, 11.0, std::nullopt}));
  EXPECT_FALSE(write_link({std::nullopt, std::nullopt, ""}));
  EXPECT_FALSE(write_link({std::nullopt, std::nullopt, "two\nlines"}));
  EXPECT_FALSE(write_link({std::nullopt, std::nullopt, "\xFF"}));
  EXPECT_FALSE(write_link({std::nullopt, std::nullopt, std::string(200, ' ')}));
}

TEST(Link, CarriesWhatACertificateStates) {
  const LinkSettings stated{3003.27, std::nullopt, std::nullopt, 0.02};
  EXPECT_EQ(write_link(stated), "v1.tone=3003.27&tapetol=0.02");
  EXPECT_EQ(settings_of("v1.tone=3003.27&tapetol=0.02"), stated);
  EXPECT_EQ(parse_link("v1.tapetol=0").fault(), LinkFault::out_of_range);
  EXPECT_EQ(parse_link("v1.tapetol=5.1").fault(), LinkFault::out_of_range);
  EXPECT_EQ(parse_link("v1.tapetol=-0.1").fault(), LinkFault::bad_number);
  EXPECT_EQ(parse_link("v1.tapetol=1e-3").fault(), LinkFault::bad_number);
  EXPECT_EQ(parse_link("v1.tapetol=0.1&tapetol=0.1").fault(), LinkFault::repeated_key);
  EXPECT_FALSE(write_link({3000.0, std::nullopt, std::nullopt, 0.0}));
  EXPECT_FALSE(write_link({3000.0, std::nullopt, std::nullopt, 6.0}));
}

}  // namespace
}  // namespace four76
