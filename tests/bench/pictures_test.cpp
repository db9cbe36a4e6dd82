// The tables and pictures of the proof, drawn from made-up figures: well-formed, within their frame, free of anything
// from outside, and true to what they were given.
#include <gtest/gtest.h>

#include <cmath>
#include <regex>

#include "tests/bench/bound_picture.hpp"
#include "tests/bench/flutter_tables.hpp"
#include "tests/bench/markdown_table.hpp"
#include "tests/bench/peers_picture.hpp"
#include "tests/bench/plot.hpp"
#include "tests/bench/reliability_picture.hpp"
#include "tests/bench/song_proof.hpp"
#include "tests/bench/svg_faults.hpp"

namespace four76::bench {
namespace {

using scenes::Manner;

std::vector<scenes::Reliability> some_curves() {
  std::vector<scenes::Reliability> curves(7);
  for (scenes::Reliability& curve : curves) curve = {"tone & <wow>", 120, {3.0, 60.0, 75.0, 92.0, 96.0, 100.0}, 0.48};
  curves.back().name = "all";
  return curves;
}

BoundTable some_bound() {
  BoundTable table{};
  for (auto& row : table) row.fill({1.0, 9.0, 0.001, 95.0, 100.0});
  return table;
}

const std::vector<SongCase>& some_songs() {
  static const std::vector<SongCase> kSongs{{"same", Manner::flute, -9.9, true, 0.5, 0.1},
                                            {"same", Manner::flute, 9.9, false, 0.0, 0.0},
                                            {"same", Manner::piano, 1.0, true, 0.0, 0.001},
                                            {"again", Manner::piano, 0.0, true, 0.0, 0.0},
                                            {"noise", Manner::piano, 0.0, false, 0.0, 0.0}};
  return kSongs;
}

FlutterTables some_flutter() {
  return {.weighting = {{0.1, -48.0, -99.0}, {4.0, 0.0, 0.0}, {200.0, -23.0, 30.0}},
          .pulses = {{10.0, 21.0, 3.0, 300.0, 20.0}, {100.0, 100.0, 4.0, 0.0, 99.0}},
          .fall_percent = 40.0,
          .block_fall_percent = 41.0,
          .deviations = {{8000.0, 0.3, 0.2, 0.3}}};
}

struct Drawn {
  std::string xml;
  std::vector<const char*> words;
};
class Pictures : public testing::TestWithParam<Drawn> {};
INSTANTIATE_TEST_SUITE_P(
    Proof, Pictures,
    testing::Values(Drawn{reliability_picture(some_curves()), {"all, 120 readings", "tone &amp; &lt;wow&gt;"}},
                    Drawn{reliability_picture({}), {"stated"}}, Drawn{bound_picture(some_bound(), 300), {"35 dB-Hz"}},
                    Drawn{song_picture(some_songs(), false), {"0.02 %: worst", "0.003 %: median"}},
                    Drawn{song_picture({}, true), {"at the limit"}},
                    Drawn{flutter_picture(some_flutter()), {"weighting, dB", "from memory"}},
                    Drawn{peers_picture({{"a & b", 4, 3, 1}, {"none", 0, 0, 0}}), {"a &amp; b", "silently wrong"}}));

TEST_P(Pictures, AreWellFormed) { EXPECT_EQ(fault_in(GetParam().xml), ""); }
TEST_P(Pictures, KeepWithinTheirFrame) { EXPECT_EQ(place_outside(GetParam().xml), ""); }
TEST_P(Pictures, BringTheirOwnGroundAndNothingFromOutside) {
  EXPECT_NE(GetParam().xml.find("#17130f"), std::string::npos);
  for (const char* word : {"<script", "href", "url(", "@import", "@font-face"})
    EXPECT_EQ(GetParam().xml.find(word), std::string::npos) << word;
}
TEST_P(Pictures, SayWhatTheyShow) {
  for (const char* word : GetParam().words) EXPECT_NE(GetParam().xml.find(word), std::string::npos) << word;
}

TEST(Plot, DrawsALogarithmicAxisAndKeepsToItsEnds) {
  SvgWriter svg = picture(100.0, 100.0, "", "", "");
  const Plot plot(svg, {10.0, 20.0, 60.0, 40.0}, {.label = "", .from = 1.0, .to = 1000.0, .logarithmic = true},
                  {.label = "", .from = -1.0, .to = 1.0});
  EXPECT_DOUBLE_EQ(plot.x_of(1.0), 10.0);
  EXPECT_NEAR(plot.x_of(10.0), 30.0, 1e-9);
  EXPECT_NEAR(plot.x_of(1e9), 70.0, 1e-9);
  EXPECT_NEAR(plot.x_of(0.0), 10.0, 1e-9);
  EXPECT_DOUBLE_EQ(plot.y_of(-1.0), 60.0);
  EXPECT_DOUBLE_EQ(plot.y_of(0.5), 30.0);
}

TEST(Plot, WritesDecimalsWithoutExponent) {
  EXPECT_EQ(decimal(0.00001), "0.00001");
  EXPECT_EQ(decimal(30.0), "30");
  EXPECT_EQ(decimal(-0.5), "-0.5");
  EXPECT_EQ(decimal(0.12345, 2), "0.12");
}

TEST(MarkdownTable, IsOfOneWidth) {
  MarkdownTable table({"a", "b", "c"});
  table.row({"1", "2", "3"});
  EXPECT_EQ(table.text(), "| a | b | c |\n| --- | ---: | ---: |\n| 1 | 2 | 3 |\n");
}

// Nothing that went wrong may be lost on the way to the page.
TEST(SongTable, ShowsWhatWentWrong) {
  const std::string table = song_table(some_songs());
  EXPECT_NE(table.find("| flute | 1 of 2 | 0.500000 | 0.500000 | 0 of 1 | 5.00 | - |"), std::string::npos) << table;
  EXPECT_NE(table.find("| piano | 1 of 1 | 0.000000 | 0.000000 | 1 of 1 | 0.00 | 1 of 2 |"), std::string::npos)
      << table;
  EXPECT_NE(table.find("| all | 2 of 3 | 0.500000 | 0.500000 | 1 of 2 | 3.54 | 1 of 2 |"), std::string::npos) << table;
  EXPECT_NE(table.find("| the same piece by another player | 1 of 1 |"), std::string::npos) << table;
}

TEST(FlutterTable, ShowsAFigureThatWasNotRead) {
  FlutterTables tables = some_flutter();
  tables.weighting[0].read_db = std::nan("");
  EXPECT_NE(flutter_markdown(tables).find("| 0.1 | -48.0 | nan | nan |"), std::string::npos);
}

}  // namespace
}  // namespace four76::bench
