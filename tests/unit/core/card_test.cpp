#include "core/records/card.hpp"

#include <gtest/gtest.h>

#include <string>
#include <string_view>
#include <utility>

namespace four76 {
namespace {

Measurement visit_of(const std::string& id, double percent, std::int64_t changed_ms = 1795689600123) {
  Measurement visit;
  visit.id = id;
  visit.time = "2026-11-26 10:45";
  visit.stage = VisitStage::as_found;
  visit.place = TapePlace::middle;
  visit.seconds = 30.0;
  visit.nominal_hz = 3003.27;
  visit.tape_u95_percent = 0.02;
  visit.clock_u95_ppm = 6.1;
  visit.tape = "Certified, side A";
  visit.note = "Two\nlines, \"quoted\"";
  visit.changed_ms = changed_ms;
  MeasuredChannel channel;
  channel.channel = "left";
  channel.status = Status::measured;
  channel.reasons.add(Reason::room_noise);
  channel.frequency_hz = 3010.5;
  channel.speed_error_percent = percent;
  channel.u95_percent = 0.01;
  channel.weighted_two_sigma_percent = 0.11;
  channel.components = {{7.6, 0.08}, {1.26, 0.15}};
  visit.channels = {channel};
  visit.course_step_s = 0.125;
  visit.course_percent = {0.5, std::nullopt, -0.25};
  visit.spectrum_bin_hz = 12.5;
  visit.spectrum_dbfs = {-90.5, -20.0};
  return visit;
}

Measurement by_tapes(const std::string& id) {
  Measurement visit;
  visit.id = id;
  visit.time = "2026-11-27 09:10";
  visit.source = VisitSource::tapes;
  visit.seconds = 240.0;
  visit.changed_ms = 1795689600124;
  visit.by_tapes = TapesEvidence{6, 1.2, 0.4, 440.0, true, false, SoundsLike::right};
  return visit;
}

Cards cards_of(const std::string& id, std::vector<Measurement> visits, std::int64_t changed_ms = 1000) {
  Card card;
  card.id = id;
  card.name = "Kitchen \xC3\xBC";
  card.kind = "portable";
  card.parts = "capstan_mm=2";
  card.trimmer_place = "hole in the motor";
  card.clockwise_is_faster = false;
  card.tolerance_percent = 1.0;
  card.changed_ms = changed_ms;
  card.visits = std::move(visits);
  KnownTape tape;
  tape.id = "tape-" + id;
  tape.name = "Own";
  tape.true_hz = 3003.27;
  tape.u95_percent = 0.03;
  return {{card}, {tape}};
}

std::string file_of(const std::string& cards) { return R"({"schema":"four76.cards/1","cards":[)" + cards + "]}"; }

ReadCards read(const std::string& text) {
  auto result = read_cards(text);
  EXPECT_TRUE(result) << text.substr(0, 200) << ": " << (result ? "" : result.fault().why);
  return result ? *result : ReadCards{};
}

TEST(Card, ReadsBackAllThatItWrites) {
  const Cards cards = cards_of("a", {visit_of("v1", 0.31), visit_of("v2", -0.02)});
  const ReadCards again = read(write_cards(cards));
  EXPECT_EQ(again.cards, cards);
  EXPECT_TRUE(again.set_aside.empty());
  EXPECT_EQ(read(write_cards({})).cards, Cards{});
}

// The page takes a null for an answer: whose screw nobody has turned would be one that goes the wrong way round.
TEST(Card, WritesNothingOfWhatIsNotKnown) {
  Cards cards = cards_of("a", {});
  cards.cards[0].clockwise_is_faster.reset();
  const std::string text = write_cards(cards);
  EXPECT_EQ(text.find("clockwise"), std::string::npos);
  EXPECT_EQ(text.find("null"), std::string::npos);
}

TEST(Card, RefusesFilesThatAreNoneOfItsOwnWithTheReason) {
  for (const char* text :
       {"", "x", "[]", "{}", "{\"schema\":1}", "{\"schema\":\"other/1\"}",
        "{\"schema\":\"four76.cards/1\",\"cards\":{}}", "{\"schema\":\"four76.cards/1\",\"cards\":[}"}) {
    const auto result = read_cards(text);
    ASSERT_FALSE(result) << text;
    EXPECT_FALSE(result.fault().why.empty());
  }
  const auto later = read_cards(R"({"schema":"four76.cards/2","cards":[]})");
  ASSERT_FALSE(later);
  EXPECT_NE(later.fault().why.find("later version"), std::string::npos);
  const auto deep = read_cards(file_of(std::string(5000, '[')));
  ASSERT_FALSE(deep);
  EXPECT_NE(deep.fault().why.find("deep"), std::string::npos);
  EXPECT_FALSE(read_cards(std::string(kLargestCardsFile + 1, ' ')));
}

TEST(Card, SetsBrokenRecordsAsideAndKeepsTheRest) {
  const std::string good = R"({"id":"g","name":"good"})";
  for (const char* broken :
       {"7", "null", "{}", R"({"id":""})", R"({"id":1})", R"({"id":"x","name":5})",
        R"({"id":"x","tolerance_percent":-1})", R"({"id":"x","tolerance_percent":"1"})",
        R"({"id":"x","clockwise_is_faster":"yes"})", R"({"id":"x","visits":5})", R"({"id":"x","parts":"nonsense"})",
        R"({"id":"x","changed_ms":1e300})", R"({"id":"g","name":"another"})"}) {
    const ReadCards result = read(file_of(good + ',' + broken));
    ASSERT_EQ(result.cards.cards.size(), 1u) << broken;
    EXPECT_EQ(result.cards.cards[0].name, "good");
    ASSERT_EQ(result.set_aside.size(), 1u) << broken;
    EXPECT_EQ(result.set_aside[0].what, "card 2");
    EXPECT_EQ(result.set_aside[0].place, (RecordPlace{RecordKind::card, 1, {}}));
    EXPECT_FALSE(result.set_aside[0].why.empty());
  }
  const std::string long_name = R"({"id":"x","name":")" + std::string(kLongestName + 1, 'x') + "\"}";
  EXPECT_EQ(read(file_of(long_name)).set_aside.size(), 1u);
}

TEST(Card, SetsABrokenVisitAsideAndKeepsItsCard) {
  for (const char* broken :
       {R"({"id":"w","seconds":"30"})", R"({"id":"w","stage":"sold"})", R"({"id":"w","channels":[{},{},{}]})",
        R"({"id":"w","channels":[{"channel":"left","reasons":["none such"]}]})",
        R"({"id":"w","channels":[{"channel":"left","speed_error_percent":1e5}]})",
        R"({"id":"w","course":{"percent":[1,"2"]}})", R"({"id":"w","spectrum":{"dbfs":[null]}})",
        R"({"id":"w","course":[]})"}) {
    const ReadCards result = read(file_of(R"({"id":"a","visits":[{"id":"v"},)" + std::string(broken) + "]}"));
    ASSERT_EQ(result.cards.cards.size(), 1u) << broken;
    EXPECT_EQ(result.cards.cards[0].visits.size(), 1u) << broken;
    ASSERT_EQ(result.set_aside.size(), 1u) << broken;
    EXPECT_EQ(result.set_aside[0].what, "card 1, visit 2");
    EXPECT_EQ(result.set_aside[0].place, (RecordPlace{RecordKind::card, 0, 1}));
  }
}

// Its visits go with it: what is within it is named no more.
TEST(Card, SetsACardThatIsThereTwiceAsideWhole) {
  const ReadCards result =
      read(file_of(R"({"id":"a","visits":[{"id":"v"}]},{"id":"a","visits":[{"id":"w","stage":"sold"},{"id":"x"}]})"));
  ASSERT_EQ(result.set_aside.size(), 1u);
  EXPECT_EQ(result.set_aside[0].place, (RecordPlace{RecordKind::card, 1, {}}));
}

TEST(Card, SetsABrokenTapeAsideAndKeepsTheRest) {
  const ReadCards result =
      read(R"({"schema":"four76.cards/1","tapes":[{"id":"a"},{"id":"b","true_hz":"3150"},{"id":"c"}],"cards":[]})");
  EXPECT_EQ(result.cards.tapes.size(), 2u);
  ASSERT_EQ(result.set_aside.size(), 1u);
  EXPECT_EQ(result.set_aside[0].what, "tape 2");
  EXPECT_EQ(result.set_aside[0].place, (RecordPlace{RecordKind::tape, 1, {}}));
}

TEST(Card, KeepsNoMoreThanThereIsRoomFor) {
  std::string list;
  for (std::size_t i = 0; i < kMostCards + 3; ++i)
    list += (i ? ",{\"id\":\"" : "{\"id\":\"") + std::to_string(i) + "\"}";
  const ReadCards result = read(file_of(list));
  EXPECT_EQ(result.cards.cards.size(), kMostCards);
  EXPECT_EQ(result.set_aside.size(), 3u);
  Cards full = result.cards;
  const Merged merged = merge_cards(full, cards_of("new", {}));
  EXPECT_EQ(full.cards.size(), kMostCards);
  ASSERT_EQ(merged.set_aside.size(), 1u);
  EXPECT_FALSE(merged.set_aside[0].place.has_value());
}

TEST(Card, MergesWithoutDuplicatesAndLosesNothing) {
  Cards there = cards_of("a", {visit_of("v1", 0.3), visit_of("v2", 0.1, 500)}, 2000);
  Cards came = cards_of("a", {visit_of("v2", 0.2, 600), visit_of("v3", 0.0)}, 1000);
  came.cards[0].name = "Old name";
  const Cards other = cards_of("b", {visit_of("v4", 0.0)});
  came.cards.push_back(other.cards[0]);
  const Merged merged = merge_cards(there, came);
  ASSERT_EQ(there.cards.size(), 2u);
  EXPECT_EQ(there.cards[0].name, "Kitchen \xC3\xBC");  // the newer stands
  ASSERT_EQ(there.cards[0].visits.size(), 3u);
  EXPECT_EQ(there.cards[0].visits[1].channels[0].speed_error_percent, 0.2);
  EXPECT_EQ(there.cards[1].visits.size(), 1u);
  EXPECT_EQ(merged.added, 3u);    // card b with v4, v3
  EXPECT_EQ(merged.renewed, 1u);  // v2
  EXPECT_EQ(merged.left, 2u);     // card a, its tape
  // A second time nothing changes.
  const Cards before = there;
  EXPECT_EQ(merge_cards(there, came).added, 0u);
  EXPECT_EQ(there, before);
  // A newer card brings its name, and all visits stay.
  Cards newer = cards_of("a", {}, 3000);
  newer.cards[0].name = "New name";
  EXPECT_EQ(merge_cards(there, newer).renewed, 1u);
  EXPECT_EQ(there.cards[0].name, "New name");
  EXPECT_EQ(there.cards[0].visits.size(), 3u);
}

TEST(Card, ReadsBackWhatTapesToldByItself) {
  Cards cards = cards_of("a", {visit_of("v1", 0.31), by_tapes("t1")});
  const ReadCards again = read(write_cards(cards));
  EXPECT_EQ(again.cards, cards);
  EXPECT_TRUE(again.set_aside.empty());
  Measurement bare = by_tapes("t2");
  bare.by_tapes = TapesEvidence{1, -3.0, 0.71, std::nullopt, false, true, SoundsLike::not_said};
  cards.cards[0].visits = {bare};
  const std::string text = write_cards(cards);
  EXPECT_EQ(read(text).cards, cards);
  for (const char* unknown : {"concert_a_hz", "line_scan", "null", "nominal_hz"})
    EXPECT_EQ(text.find(unknown), std::string::npos) << unknown;
}

TEST(Card, TakesWhatTapesToldForNoMeasurement) {
  const Measurement told = by_tapes("t1");
  EXPECT_FALSE(speed_of(told));
  EXPECT_EQ(verdict_of(told), VisitVerdict::not_measured);
  Cards cards = cards_of("a", {visit_of("v1", 0.31)});
  const std::string before = cards_csv(cards);
  cards.cards[0].visits.push_back(told);
  EXPECT_EQ(cards_csv(cards), before);
}

TEST(Card, SetsWhatTapesToldAsideWhereItIsBrokenOrMixedWithAMeasurement) {
  const std::string good = R"("by_tapes":{"tapes":6,"speed_error_percent":1.2,"u95_percent":0.4})";
  const auto set_aside = [](const std::string& visit) {
    return read(file_of(R"({"id":"a","visits":[{"id":"v"},{"id":"t",)" + visit + "}]}"));
  };
  EXPECT_TRUE(set_aside(R"("source":"tapes",)" + good).set_aside.empty());
  for (const std::string& broken :
       {std::string(R"("source":"tapes")"), std::string(R"("source":"tapes","by_tapes":null)"), good,
        R"("source":"song",)" + good, R"("source":"tapes","stage":"as_found",)" + good,
        R"("source":"tapes","stage":"as_left",)" + good, R"("source":"tapes","channels":[{"channel":"left"}],)" + good,
        R"("source":"tapes","course":{"percent":[1]},)" + good, R"("source":"tapes","spectrum":{"dbfs":[-9]},)" + good,
        std::string(R"("source":"tapes","by_tapes":[])"), std::string(R"("source":"tapes","by_tapes":{})")}) {
    const ReadCards result = set_aside(broken);
    ASSERT_EQ(result.cards.cards.size(), 1u) << broken;
    EXPECT_EQ(result.cards.cards[0].visits.size(), 1u) << broken;
    ASSERT_EQ(result.set_aside.size(), 1u) << broken;
    EXPECT_EQ(result.set_aside[0].place, (RecordPlace{RecordKind::card, 0, 1}));
    EXPECT_FALSE(result.set_aside[0].why.empty());
  }
  for (const auto& [from, to] : {std::pair{"6", "0"},
                                 {"6", "2.5"},
                                 {"6", "1e9"},
                                 {"6", "\"6\""},
                                 {"1.2", "101"},
                                 {"1.2", "null"},
                                 {"0.4", "-0.4"},
                                 {"0.4", "true"},
                                 {"0.4", "0.4,\"concert_a_hz\":4400"},
                                 {"0.4", "0.4,\"line_scan\":1"},
                                 {"0.4", "0.4,\"sounds_like\":\"odd\""}}) {
    std::string broken = R"("source":"tapes",)" + good;
    broken.replace(broken.rfind(from), std::string_view(from).size(), to);
    EXPECT_EQ(set_aside(broken).set_aside.size(), 1u) << broken;
  }
}

TEST(Card, MergesWhatTapesToldLikeAnyVisit) {
  Cards there = cards_of("a", {visit_of("v1", 0.3)});
  const Merged merged = merge_cards(there, cards_of("a", {by_tapes("t1")}));
  EXPECT_EQ(merged.added, 1u);
  ASSERT_EQ(there.cards[0].visits.size(), 2u);
  EXPECT_EQ(there.cards[0].visits[1], by_tapes("t1"));
}

TEST(Card, WritesReadingsAsCsv) {
  Cards cards = cards_of("a", {visit_of("v1", -0.31)});
  cards.cards[0].name = "=SUM(A1)";
  const std::string csv = cards_csv(cards);
  EXPECT_NE(csv.find("\r\n\"'=SUM(A1)\",\"2026-11-26 10:45\",as_found,middle,tone,\"left\",measured,3003.27,3010.5,"
                     "-0.31,0.01,0.11,,0.5,within,\"Certified, side A\",\"Two\nlines, \"\"quoted\"\"\"\r\n"),
            std::string::npos)
      << csv;
}

}  // namespace
}  // namespace four76
