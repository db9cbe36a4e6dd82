// What the page's script asks of the bench: typed readings, the table of tapes and machines, a tape of one's own.
#include "web/doors/bench.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <vector>

#include "core/records/json.hpp"
#include "web/doors/tone_file.hpp"

namespace four76 {
namespace {

Json answer(std::string_view what, std::array<std::string_view, 4> texts) {
  const std::string text = ask_bench(what, texts);
  const auto json = parse_json(text);
  EXPECT_TRUE(json) << text;
  return json ? *json : Json();
}
std::string text_at(const Json& json, std::string_view name) {
  const Json* value = json.find(name);
  return value && value->as_string() ? *value->as_string() : "";
}

TEST(BenchDoor, AMetersTwoSidesBecomeAVisit) {
  const Json told = answer("bench-meter", {"3012;3013.5", "0.1", "3000;0.5;0.1", "as_found"});
  EXPECT_EQ(text_at(told, "fault"), "");
  const Json& visit = *told.find("visit");
  EXPECT_EQ(text_at(visit, "source"), "meter");
  EXPECT_EQ(text_at(visit, "stage"), "as_found");
  ASSERT_EQ(visit.find("channels")->items().size(), 2u);
  const Json& left = visit.find("channels")->items()[0];
  EXPECT_NEAR(*left.find("speed_error_percent")->as_number(), 0.4, 1e-9);
  // Half of the last digit, 0.5 Hz, and 0.1 % of 3012 Hz, of 3000 Hz (derived).
  EXPECT_NEAR(*left.find("u95_percent")->as_number(), 100.0 * (0.5 + 3.012) / 3000.0, 1e-6);
  const std::string said = text_at(told, "said");
  EXPECT_TRUE(said.starts_with("Too near to the limit of 0.5 % to be told. Speed: ")) << said;
  for (const char* part : {"; Speed error (left): +0.40 %", "; Speed error (right): +0.45 %"})
    EXPECT_NE(said.find(part), std::string::npos) << part << " in " << said;
}

TEST(BenchDoor, ATimingBecomesAVisit) {
  const Json told = answer("bench-timing", {"2700", "2673", "3000;0.5;", "as_left"});
  EXPECT_EQ(text_at(told, "fault"), "");
  const Json& channel = told.find("visit")->find("channels")->items().at(0);
  EXPECT_NEAR(*channel.find("speed_error_percent")->as_number(), 100.0 * (2700.0 / 2673.0 - 1.0), 1e-6);
  EXPECT_EQ(channel.find("frequency_hz"), nullptr);
  EXPECT_EQ(text_at(told, "said").substr(0, 28), "Outside 0.5 %. Speed: 1.01 %");
}

TEST(BenchDoor, WhatIsNoReadingIsSaidInWords) {
  for (const auto& texts : std::vector<std::array<std::string_view, 4>>{{";", "0.1", "3000;0.5;", ""},
                                                                        {"abc;", "0.1", "3000;0.5;", ""},
                                                                        {"3000;", "", "3000;0.5;", ""},
                                                                        {"9000;", "0.1", "3000;0.5;", ""},
                                                                        {"3000;", "0.1", "0;0.5;", ""},
                                                                        {"", "", "", ""}}) {
    EXPECT_NE(text_at(answer("bench-meter", texts), "fault"), "") << texts[0];
    EXPECT_NE(text_at(answer("bench-timing", texts), "fault"), "") << texts[0];
  }
  EXPECT_NE(text_at(answer("bench-dance", {"", "", "", ""}), "fault"), "");
}

// Two machines, +1.0 and -0.4 %; a tape that is right and one that is 0.2 % high.
// A card would set such a visit aside.
TEST(BenchDoor, MakesNoVisitThatNoCardKeeps) {
  for (const std::string_view settings : {"52;0.5;", "3000;0;", "3000;0.5;-1", "3000", ""})
    EXPECT_NE(text_at(answer("bench-timing", {"1800", "1812.5", settings, "as_found"}), "fault"), "") << settings;
  EXPECT_NE(text_at(answer("bench-meter", {"3012", "2000", "3000;0.5;", "as_found"}), "fault"), "");
}

TEST(BenchDoor, TellsTapeFromMachineWithOneThatIsTrusted) {
  const Json told =
      answer("bench-table", {"0;0;1.0;0.05\n0;1;-0.4;0.05\n1;0;1.2;0.05\n1;1;-0.2;0.05", "tape;0;0;0.02", "", ""});
  EXPECT_EQ(text_at(told, "fault"), "");
  EXPECT_EQ(told.find("machines")->items()[0].as_string()->substr(0, 7), "+1.0 % ");
  EXPECT_NE(told.find("tapes")->items()[1].as_string()->find("+0.20 %"), std::string::npos);
  EXPECT_NE(told.find("tapes")->items()[1].as_string()->find("\u00b1"), std::string::npos);
  EXPECT_TRUE(told.find("said")->items().empty());
}

TEST(BenchDoor, SaysPlainlyWhatCannotBeToldApart) {
  const Json one = answer("bench-table", {"0;0;1.0;0.05", "", "", ""});
  ASSERT_FALSE(one.find("said")->items().empty());
  EXPECT_NE(one.find("said")->items()[0].as_string()->find("only differences"), std::string::npos);
  const Json apart = answer("bench-table", {"0;0;1.0;0.05\n1;1;0.5;0.05", "", "", ""});
  EXPECT_NE(apart.find("said")->items()[1].as_string()->find("not linked"), std::string::npos);
  for (const std::string_view broken : {"", "0;0;x;0.1", "0;0;1;0", "99;0;1;0.1", "0"})
    EXPECT_NE(text_at(answer("bench-table", {broken, "", "", ""}), "fault"), "") << broken;
}

TEST(BenchDoor, CertifiesAnOwnTapeAgainstATrustedOne) {
  // 1.5 % fast with both: the own tape, recorded as 3150 Hz, carries 0.2 % more.
  const Json told = answer("bench-certify", {"1.703;0.01", "1.5;0.01", "1.5;0.01", "3150;0.05"});
  EXPECT_EQ(text_at(told, "fault"), "");
  EXPECT_NEAR(*told.find("true_hz")->as_number(), 3150.0 * 1.01703 / 1.015, 1e-6);
  EXPECT_NE(text_at(told, "said").find("3156.3"), std::string::npos) << text_at(told, "said");
  EXPECT_NE(text_at(answer("bench-certify", {"1.7;0.01", "1.5;0.01", "", "3150;"}), "fault"), "");
  EXPECT_NE(text_at(answer("bench-certify", {"", "1.5;0.01", "", "3150;0.05"}), "fault"), "");
  EXPECT_NE(text_at(answer("bench-certify", {"1.7;0.01", "1.5;0.01", "0.2;0.01", "3150;0.05"}), "fault"), "");
}

TEST(ToneFile, ComesPieceByPieceAsAWavFile) {
  ToneFile file;
  TestTone::Config config;
  config.tone_hz = 3150.0;
  config.steps = {{0.5, -6.0}, {1.0, -12.0}};
  ASSERT_EQ(file.begin(config), std::nullopt);
  std::vector<std::byte> all, piece(1000);
  while (const std::size_t size = file.next(piece))
    all.insert(all.end(), piece.begin(), piece.begin() + static_cast<std::ptrdiff_t>(size));
  EXPECT_EQ(all.size(), kWavHeadBytes + 2u * 72000u);
  config.tone_hz = 1.0;
  EXPECT_NE(file.begin(config), std::nullopt);
  EXPECT_EQ(file.next(piece), 0u);
}

}  // namespace
}  // namespace four76
