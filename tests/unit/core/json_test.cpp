#include "core/records/json.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <string>

namespace four76 {
namespace {

std::optional<JsonFault> fault_in(std::string_view text, const JsonLimits& limits = {}) {
  const auto parsed = parse_json(text, limits);
  if (parsed) return std::nullopt;
  EXPECT_FALSE(message_of(parsed.fault()).empty());
  return parsed.fault();
}

TEST(Json, ReadsEveryKindOfValue) {
  const auto parsed = parse_json(R"( {"a":[1,-2.5e3,0.5,true,false,null],"b":{"c":"x\n\u00fc\ud83c\udfb5\/"}} )");
  ASSERT_TRUE(parsed);
  const Json* a = parsed->find("a");
  ASSERT_TRUE(a);
  ASSERT_EQ(a->items().size(), 6u);
  EXPECT_EQ(a->items()[1].as_number(), -2500.0);
  EXPECT_EQ(a->items()[3].as_boolean(), true);
  EXPECT_EQ(a->items()[5].kind(), Json::Kind::null);
  EXPECT_EQ(a->items()[5].as_number(), std::nullopt);
  EXPECT_EQ(*parsed->find("b")->find("c")->as_string(), "x\n\xC3\xBC\xF0\x9F\x8E\xB5/");
  EXPECT_EQ(parsed->find("c"), nullptr);
}

TEST(Json, RefusesWhatIsNotJson) {
  for (const char* text : {"{a:1}", "[1,]", "{\"a\":1,}", "[1 2]", "'a'", "01", "+1", ".5", "[1]x", "nul1", "{1:2}",
                           "NaN", "[Infinity]", "\xEF\xBB\xBF{}", "//\n1"})
    EXPECT_EQ(fault_in(text), JsonFault::not_json) << text;
  for (const char* text : {"", "[", "{\"a\"", "{\"a\":", "\"abc", "tru", "[1,", "-", "\"\\"})
    EXPECT_EQ(fault_in(text), JsonFault::cut_off) << text;
  for (const char* text : {"1.", "1e", "1e999", "-1e400", "1e+"})
    EXPECT_EQ(fault_in(text), JsonFault::bad_number) << text;
  for (const char* text : {"\"\\x\"", "\"\\u12g4\"", "\"\\ud800\"", "\"\\udc00\"", "\"\\ud800\\u0041\"", "\"\xFF\"",
                           "\"\xC3\"", "\"a\nb\"", "\"\\u0000\""})
    EXPECT_EQ(fault_in(text), JsonFault::bad_text) << text;
  EXPECT_EQ(fault_in(R"({"a":1,"a":2})"), JsonFault::repeated_name);
}

TEST(Json, KeepsToItsLimits) {
  EXPECT_EQ(fault_in(std::string(100000, '[')), JsonFault::too_deep);
  JsonLimits small;
  small.bytes = 10;
  EXPECT_EQ(fault_in("[1,2,3,4,5]", small), JsonFault::too_large);
  small = {};
  small.values = 4;
  EXPECT_EQ(fault_in("[1,2,3,4,5]", small), JsonFault::too_many_values);
  EXPECT_EQ(fault_in("[1,2,3]", small), std::nullopt);
  std::string wide = "{";
  for (int i = 0; i < 100; ++i) wide += (i ? ",\"" : "\"") + std::to_string(i) + "\":0";
  EXPECT_EQ(fault_in(wide + '}'), JsonFault::too_many_values);
}

TEST(Json, ReadsBackWhatItWrites) {
  Json list = Json::array();
  list.add(Json::number(0.123456789)).add(Json::string("a\"\\\n\t\xC3\xBC")).add(Json()).add(Json::boolean(false));
  Json value = Json::object();
  value.set("list", list).set("empty", Json::array()).set("none", Json::object());
  value.set("nan", Json::number(std::numeric_limits<double>::quiet_NaN()));
  const std::string text = write_json(value);
  const auto again = parse_json(text);
  ASSERT_TRUE(again) << text;
  EXPECT_EQ(write_json(*again), text);
  EXPECT_EQ(again->find("list")->items()[0].as_number(), 0.123456789);
  EXPECT_EQ(again->find("nan")->kind(), Json::Kind::null);
}

TEST(Json, WritesNumbersSoThatTheyReadBackAlike) {
  for (const char* number : {"777777777777777.7777777777", "999999999.6", "1795689600123", "1e300", "-0.1",
                             "8999999999999999", "9007199254740993", "1e-300", "123456789.5"}) {
    const std::string once = write_json(*parse_json(number));
    EXPECT_EQ(write_json(*parse_json(once)), once) << number;
  }
  EXPECT_EQ(write_json(Json::number(1795689600123.0)), "1795689600123\n");
  EXPECT_EQ(write_json(Json::number(0.1)), "0.1\n");
}

}  // namespace
}  // namespace four76
