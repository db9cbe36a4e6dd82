#include "core/records/check_link.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdint>
#include <cstdio>
#include <string>

namespace four76 {
namespace {

CheckAsked asked() { return {"k3f9x2", 3150.0, 0.1, 0.5, "portable", "Side A, \xC3\xBC & 1 = 2"}; }
CheckDone done() {
  return {"k3f9x2", 3150.0, 0.5, -0.31, 0.02, 0.11, VisitStage::as_left, "2026-11-26", "Belt is new"};
}

std::optional<LinkFault> fault_in(const std::string& fragment) {
  const auto parsed = parse_any_link(fragment);
  return parsed ? std::nullopt : std::optional(parsed.fault());
}

// Zlib's well-known check value of the same sum: "123456789" gives cbf43926 (from memory).
std::string with_sum(const std::string& text) {
  std::uint32_t crc = 0xFFFFFFFFu;
  for (const unsigned char c : text)
    for (int bit = 0; bit < 8; ++bit) {
      const bool odd = ((crc ^ (static_cast<std::uint32_t>(c) >> bit)) & 1u) != 0u;
      crc = (crc >> 1u) ^ (odd ? 0xEDB88320u : 0u);
    }
  char digits[16];
  std::snprintf(digits, sizeof digits, "%08x", ~crc);
  return text + "&sum=" + digits;
}

TEST(CheckLink, TheTestsOwnSumIsTheStandards) { EXPECT_EQ(with_sum("123456789"), "123456789&sum=cbf43926"); }

TEST(CheckLink, CarriesTheAskingThereAndTheResultBack) {
  const auto ask = write_link(asked());
  ASSERT_TRUE(ask);
  EXPECT_LT(ask->size(), 150u);
  const auto there = parse_any_link('#' + *ask);
  ASSERT_TRUE(there && std::holds_alternative<CheckAsked>(*there));
  EXPECT_EQ(std::get<CheckAsked>(*there), asked());
  const auto did = write_link(done());
  ASSERT_TRUE(did);
  const auto back = parse_any_link(*did);
  ASSERT_TRUE(back && std::holds_alternative<CheckDone>(*back));
  EXPECT_EQ(std::get<CheckDone>(*back), done());
}

TEST(CheckLink, StillReadsTheFirstVersion) {
  const auto parsed = parse_any_link("#v1.tone=3150&tol=0.5&note=Side%20A");
  ASSERT_TRUE(parsed && std::holds_alternative<LinkSettings>(*parsed));
  EXPECT_EQ(std::get<LinkSettings>(*parsed).tone_hz, 3150.0);
  EXPECT_TRUE(parse_any_link(""));
  EXPECT_EQ(fault_in("v3.ask=a"), LinkFault::unknown_version);
  EXPECT_EQ(fault_in("guide"), LinkFault::not_settings);
}

TEST(CheckLink, RefusesEveryDamagedCharacter) {
  const std::string ask = *write_link(asked());
  for (std::size_t i = 3; i < ask.size(); ++i) {
    std::string damaged = ask;
    damaged[i] = damaged[i] == '1' ? '2' : '1';
    EXPECT_EQ(fault_in(damaged), LinkFault::bad_checksum) << damaged;
    EXPECT_TRUE(fault_in(ask.substr(0, i)).has_value()) << i;
  }
  EXPECT_EQ(fault_in(ask + 'x'), LinkFault::bad_checksum);
  EXPECT_EQ(fault_in(std::string(kLongestLink + 1, 'x')), LinkFault::too_long);
}

TEST(CheckLink, RefusesWhatIsWrongThoughItsSumIsRight) {
  const std::string good = "v2.ask=a&tone=3000&tol=0.5";
  EXPECT_EQ(fault_in(with_sum(good)), std::nullopt);
  EXPECT_EQ(fault_in(with_sum(good + "&x=1")), LinkFault::unknown_key);
  EXPECT_EQ(fault_in(with_sum(good + "&tone=1")), LinkFault::repeated_key);
  EXPECT_EQ(fault_in(with_sum(good + "&note")), LinkFault::broken_pair);
  EXPECT_EQ(fault_in(with_sum(good + "&note=")), LinkFault::broken_pair);
  EXPECT_EQ(fault_in(with_sum(good + "&note=%0A")), LinkFault::bad_encoding);
  EXPECT_EQ(fault_in(with_sum(good + "&kind=" + std::string(kLongestKind + 1, 'x'))), LinkFault::bad_encoding);
  EXPECT_EQ(fault_in(with_sum("v2.ask=a&tone=3000")), LinkFault::broken_pair);
  EXPECT_EQ(fault_in(with_sum("v2.ask=a b&tone=3000&tol=1")), LinkFault::broken_pair);
  EXPECT_EQ(fault_in(with_sum("v2.ask=a&tone=1e3&tol=1")), LinkFault::bad_number);
  EXPECT_EQ(fault_in(with_sum("v2.ask=a&tone=-3000&tol=1")), LinkFault::out_of_range);
  EXPECT_EQ(fault_in(with_sum("v2.tone=3000&ask=a&tol=1")), LinkFault::unknown_key);
  const std::string did = "v2.did=a&tone=3000&tol=1&err=0.1&u=0.1";
  EXPECT_EQ(fault_in(with_sum(did + "&stage=as_found&date=2026-11-26")), std::nullopt);
  EXPECT_EQ(fault_in(with_sum(did + "&stage=sold&date=2026-11-26")), LinkFault::broken_pair);
  EXPECT_EQ(fault_in(with_sum(did + "&stage=as_found&date=2026-13-26")), LinkFault::broken_pair);
  EXPECT_EQ(fault_in(with_sum(did + "&stage=as_found")), LinkFault::broken_pair);
}

TEST(CheckLink, WritesNothingThatItWouldNotRead) {
  CheckAsked ask = asked();
  ask.note = std::string(kLongestLink, 'x');
  EXPECT_FALSE(write_link(ask));
  ask = asked();
  ask.note = "two\nlines";
  EXPECT_FALSE(write_link(ask));
  ask = asked();
  ask.id = "no id";
  EXPECT_FALSE(write_link(ask));
  CheckDone did = done();
  did.speed_error_percent = std::nan("");
  EXPECT_FALSE(write_link(did));
  did = done();
  did.speed_error_percent = 31.0;
  EXPECT_FALSE(write_link(did));
}

}  // namespace
}  // namespace four76
