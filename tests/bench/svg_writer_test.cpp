// The mark-up of what benchmarks draw.
#include "tests/bench/svg_writer.hpp"

#include <gtest/gtest.h>

#include "tests/bench/svg_faults.hpp"

namespace four76::bench {
namespace {

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

}  // namespace
}  // namespace four76::bench
