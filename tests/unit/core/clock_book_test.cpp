// Kept clocks come back as they were; what is damaged or hostile is refused whole.
#include "core/records/clock_book.hpp"

#include <gtest/gtest.h>

#include <string>

namespace four76 {
namespace {

CheckedClock clock(double rate_hz, const char* input, double fast_ppm = 34.25, double u95_ppm = 6.125) {
  return {rate_hz, input, {fast_ppm, u95_ppm}, "2026-11-25"};
}

TEST(ClockBook, ComesBackAsItWasWritten) {
  ClockBook book;
  for (const auto& each : {clock(48000, "Built-in mic", -120.5), clock(44100, "Built-in mic"), clock(48000, ""),
                           clock(48000, "-"), clock(96000, "Entr\u00e9e 50 % / 2 \"x\" <b>")})
    ASSERT_TRUE(keep_clock(book, each));
  const auto back = read_clocks(write_clocks(book));
  ASSERT_TRUE(back.has_value());
  EXPECT_EQ(*back, book);
}

TEST(ClockBook, AnEmptyOneIsNoText) {
  EXPECT_EQ(write_clocks({}), "");
  EXPECT_EQ(read_clocks(""), ClockBook{});
}

TEST(ClockBook, ANewCheckReplacesTheOld) {
  ClockBook book;
  keep_clock(book, clock(48000, "mic", 1.0));
  keep_clock(book, clock(48000, "cable", 2.0));
  keep_clock(book, clock(48000, "mic", 3.0));
  ASSERT_EQ(book.size(), 2u);
  EXPECT_EQ(find_clock(book, 48000, "mic")->correction.fast_ppm, 3.0);
  EXPECT_EQ(find_clock(book, 44100, "mic"), nullptr);
  EXPECT_EQ(find_clock(book, 48000, ""), nullptr);
  EXPECT_EQ(find_clock(book, 48000, "micro"), nullptr);
}

TEST(ClockBook, ForgetsTheOldestWhereThereAreTooMany) {
  ClockBook book;
  for (int i = 0; i < 40; ++i) ASSERT_TRUE(keep_clock(book, clock(48000, std::to_string(i).c_str())));
  EXPECT_EQ(book.size(), kMostClocks);
  EXPECT_EQ(book.back().input, "39");
  EXPECT_TRUE(read_clocks(write_clocks(book)).has_value());
}

TEST(ClockBook, ALongNameIsCutBetweenCharactersAndFoundAgain) {
  std::string name = "x";
  while (name.size() < 300) name += "\u00e9";
  ClockBook book;
  ASSERT_TRUE(keep_clock(book, clock(48000, name.c_str())));
  EXPECT_LE(book[0].input.size(), kLongestInputName);
  EXPECT_NE(find_clock(book, 48000, name), nullptr);
  EXPECT_TRUE(read_clocks(write_clocks(book)).has_value());
}

TEST(ClockBook, TheFullestBookCanBeReadBack) {
  ClockBook book;
  for (std::size_t i = 0; i < kMostClocks; ++i) {
    std::string name = std::to_string(i);
    while (name.size() + 2 <= kLongestInputName) name += "\u00e9";
    ASSERT_TRUE(keep_clock(book, clock(192000, name.c_str(), -999.123456, 99.123456)));
  }
  EXPECT_LE(write_clocks(book).size(), kLongestClockText);
  EXPECT_EQ(read_clocks(write_clocks(book)), book);
}

TEST(ClockBook, KeepsNothingThatCouldNotBeReadBack) {
  ClockBook book;
  EXPECT_FALSE(keep_clock(book, clock(7999, "mic")));
  EXPECT_FALSE(keep_clock(book, clock(48000, "mic", 1001.0)));
  EXPECT_FALSE(keep_clock(book, clock(48000, "mic", 0.0, 101.0)));
  EXPECT_FALSE(keep_clock(book, clock(48000, "two\nlines")));
  CheckedClock undated = clock(48000, "mic");
  for (const char* date :
       {"", "25.11.2026", "2026-13-01", "2026-00-10", "2026-11-32", "2026-11-25T10:00", "YYYY-MM-DD"}) {
    undated.date = date;
    EXPECT_FALSE(keep_clock(book, undated)) << date;
  }
  EXPECT_TRUE(book.empty());
}

TEST(ClockBook, RefusesWhatIsDamagedOrHostile) {
  const std::string head = "four76-clocks 1\n", good = "48000 34.2 6.1 2026-11-25 mic\n";
  ASSERT_TRUE(read_clocks(head + good).has_value());
  for (const std::string& bad :
       {std::string("{}"), std::string("four76-clocks 2\n") + good, good, head + "48000 34.2 6.1 2026-11-25 mic",
        head + "48000 34.2 6.1 2026-11-25\n", head + "48000 34.2 6.1 2026-11-25 \n",
        head + "48000 nan 6.1 2026-11-25 mic\n", head + "48000 1e3 6.1 2026-11-25 mic\n",
        head + "48000 1001 6.1 2026-11-25 mic\n", head + "48000 34.2 101 2026-11-25 mic\n",
        head + "48000 34.2 -6.1 2026-11-25 mic\n", head + "0 34.2 6.1 2026-11-25 mic\n",
        head + "48000 34.2 6.1 2026-11-25 m%zz\n", head + "48000 34.2 6.1 2026-11-25 m%00\n",
        head + "48000 34.2 6.1 2026-11-25 two words\n", head + good + good, head + good + "\n",
        head + std::string(kLongestClockText, 'x'), std::string("four76-clocks 1\n\0\0", 18)}) {
    EXPECT_FALSE(read_clocks(bad).has_value()) << bad.substr(0, 80);
  }
  std::string many = head;
  for (int i = 0; i < 25; ++i) many += "48000 34.2 6.1 2026-11-25 m" + std::to_string(i) + "\n";
  EXPECT_FALSE(read_clocks(many).has_value());
}

}  // namespace
}  // namespace four76
