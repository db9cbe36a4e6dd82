// Kept tapes come back as they were; what is damaged or hostile is refused whole.
#include "core/records/tape_book.hpp"

#include <gtest/gtest.h>

#include <string>

namespace four76 {
namespace {

KeptTape tape(const char* machine, const char* name, double error = -1.25, double u95 = 0.0125) {
  return {machine, name, {error, u95}, "2026-11-26"};
}

TEST(TapeBook, ComesBackAsItWasWritten) {
  TapeBook book;
  for (const auto& each : {tape("", "Summer"), tape("-", "-", 2.5),
                           tape("Kitchen recorder", "Entr\u00e9e 50 % \"x\" <b>"), tape("Kitchen recorder", "Summer")})
    ASSERT_TRUE(keep_tape(book, each));
  const auto back = read_tapes(write_tapes(book));
  ASSERT_TRUE(back && back->size() == book.size());
  EXPECT_EQ(write_tapes(*back), write_tapes(book));
  EXPECT_EQ((*back)[2].tape, book[2].tape);
  EXPECT_EQ((*back)[0].vote.speed_error_percent, -1.25);
  EXPECT_EQ(tapes_of(*back, "Kitchen recorder"), (std::vector<std::size_t>{2, 3}));
}

TEST(TapeBook, ANewResultOfATapeReplacesTheOld) {
  TapeBook book;
  keep_tape(book, tape("a", "x", 1.0));
  keep_tape(book, tape("b", "x", 2.0));
  keep_tape(book, tape("a", "x", 3.0));
  ASSERT_EQ(book.size(), 2u);
  EXPECT_EQ(book.back().vote.speed_error_percent, 3.0);
}

TEST(TapeBook, TheFullestBookCanBeReadBack) {
  TapeBook book;
  const std::string name(300, '%');
  for (int i = 0; i < 60; ++i)
    ASSERT_TRUE(keep_tape(book, tape(name.c_str(), (std::to_string(i) + name).c_str(), -29.123456, 9.123456)));
  EXPECT_EQ(book.size(), kMostTapes);
  EXPECT_LE(write_tapes(book).size(), kLongestTapesText);
  EXPECT_TRUE(read_tapes(write_tapes(book)).has_value());
}

TEST(TapeBook, RefusesWhatCouldNotBeReadBack) {
  TapeBook book;
  EXPECT_FALSE(keep_tape(book, tape("a", "")));
  EXPECT_FALSE(keep_tape(book, tape("a", "two\nlines")));
  EXPECT_FALSE(keep_tape(book, tape("a", "x", 31.0)));
  EXPECT_FALSE(keep_tape(book, tape("a", "x", 1.0, -1.0)));
  EXPECT_FALSE(keep_tape(book, {"a", "x", {1.0, 0.1}, "yesterday"}));
  EXPECT_TRUE(book.empty());
}

TEST(TapeBook, RefusesHostileTextWhole) {
  const std::string head = "four76-tapes 1\n", good = "1 0.01 2026-11-26 - Summer\n";
  EXPECT_TRUE(read_tapes(head + good).has_value());
  for (const std::string& text :
       {std::string("{}"), std::string("four76-tapes 2\n") + good, head + "x", head + good + good, head + good + "\n",
        head + "nan 0.01 2026-11-26 - Summer\n", head + "99 0.01 2026-11-26 - Summer\n",
        head + "1 -0.01 2026-11-26 - Summer\n", head + "1 0.01 2026-13-26 - Summer\n", head + "1 0.01 2026-11-26 - -\n",
        head + "1 0.01 2026-11-26 - %0\n", head + "1 0.01 2026-11-26 - %0A\n", head + "1 0.01 2026-11-26 Summer\n",
        head + std::string(kLongestTapesText, 'a')})
    EXPECT_FALSE(read_tapes(text).has_value()) << text.substr(0, 60);
}

}  // namespace
}  // namespace four76
