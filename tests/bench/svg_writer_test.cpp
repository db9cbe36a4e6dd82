// The pictures that benchmarks draw: well-formed, within their frame, and free of anything from outside.
#include "tests/bench/svg_writer.hpp"

#include <gtest/gtest.h>

#include <regex>
#include <stack>

#include "tests/bench/reliability_picture.hpp"

namespace four76::bench {
namespace {

// What is wrong with the mark-up; empty where every element closes in its turn and every attribute is quoted.
std::string fault_in(const std::string& xml) {
  static const std::regex kTag(R"(<(/?)([a-z]+)((?: [a-zA-Z0-9:-]+="[^"<]*")*)(/?)>)");
  std::stack<std::string> open;
  std::size_t at = 0;
  for (std::sregex_iterator tag(xml.begin(), xml.end(), kTag), end; tag != end; ++tag) {
    const std::string between = xml.substr(at, static_cast<std::size_t>(tag->position()) - at);
    if (between.find_first_of("<>") != std::string::npos) return "stray bracket in: " + between;
    if (std::regex_search(between, std::regex("&(?!amp;|lt;|gt;|quot;)"))) return "bare ampersand in: " + between;
    at = static_cast<std::size_t>(tag->position() + tag->length());
    if ((*tag)[1].length() == 0 && (*tag)[4].length() == 0) open.push((*tag)[2]);
    if ((*tag)[1].length() == 0) continue;
    if (open.empty() || open.top() != (*tag)[2]) return "closed out of turn: " + tag->str();
    open.pop();
  }
  if (!open.empty()) return "left open: " + open.top();
  return xml.substr(at) == "\n" ? "" : "text after the end";
}

std::vector<scenes::Reliability> some_curves() {
  std::vector<scenes::Reliability> curves(7);
  for (scenes::Reliability& curve : curves) curve = {"tone & <wow>", 120, {3.0, 60.0, 75.0, 92.0, 96.0, 100.0}, 0.48};
  curves.back().name = "all";
  return curves;
}

TEST(SvgWriter, EscapesWhatIsWritten) {
  SvgWriter svg(10.0, 20.0, "a < b", "\"c\" & d");
  svg.text(1.0, 2.0, "<script>", {{"class", "x\"y"}});
  const std::string xml = svg.finish();
  EXPECT_EQ(fault_in(xml), "");
  EXPECT_EQ(xml.find("<script"), std::string::npos);
  EXPECT_NE(xml.find("a &lt; b"), std::string::npos);
}

TEST(SvgWriter, ClosesWhatIsOpen) {
  SvgWriter svg(10.0, 20.0, "", "");
  svg.open("g");
  svg.open("g", {{"class", "inner"}});
  EXPECT_EQ(fault_in(svg.finish()), "");
}

TEST(SvgWriter, WritesNumbersShort) {
  EXPECT_EQ(Attribute("x", 12.0).value, "12");
  EXPECT_EQ(Attribute("x", 100.0).value, "100");
  EXPECT_EQ(Attribute("x", -0.125).value, "-0.12");
  EXPECT_EQ(Attribute("x", 1.5).value, "1.5");
}

TEST(ReliabilityPicture, IsWellFormedAndWhole) {
  const std::string xml = reliability_picture(some_curves());
  EXPECT_EQ(fault_in(xml), "");
  EXPECT_EQ(fault_in(reliability_picture({})), "");
  for (const char* word : {"stated", "actual", "all, 120 readings", "tone &amp; &lt;wow&gt;", "#17130f"})
    EXPECT_NE(xml.find(word), std::string::npos) << word;
  for (const char* word : {"<script", "href", "url(", "@import", "@font-face"})
    EXPECT_EQ(xml.find(word), std::string::npos) << word;
}

TEST(ReliabilityPicture, KeepsWithinItsFrame) {
  const std::string xml = reliability_picture(some_curves());
  static const std::regex kPlace(R"re( (c?[xy][12]?)="(-?[0-9.]+)")re");
  for (std::sregex_iterator place(xml.begin(), xml.end(), kPlace), end; place != end; ++place) {
    const double value = std::stod((*place)[2]);
    EXPECT_GE(value, 0.0) << place->str();
    EXPECT_LE(value, (*place)[1].str().find('x') != std::string::npos ? 900.0 : 540.0) << place->str();
  }
}

}  // namespace
}  // namespace four76::bench
