#include "core/phrase.hpp"

#include <gtest/gtest.h>

#include "core/records/figure_text.hpp"

namespace four76 {
namespace {

// The language is the program's: each test leaves it English.
class Phrases : public testing::Test {
 protected:
  void TearDown() override { set_language(""); }
};

std::string line(std::string_view english, std::string_view text) {
  char hash[8];
  std::snprintf(hash, sizeof hash, "%05x", phrase_hash(english));
  return hash + std::string(text) + "\n";
}

TEST_F(Phrases, AreEnglishWhereNothingElseIsSet) {
  EXPECT_EQ(tr("Too quiet."), "Too quiet.");
  EXPECT_EQ(say("{1} before {0}", std::string("b"), std::string("a")), "a before b");
}

TEST_F(Phrases, AreToldInTheLanguageThatIsSetAndInEnglishWhereItLacksThem) {
  set_language(",\n" + line("Too quiet.", "Zu leise.") + line("{0} of {1}", "von {1} {0}"));
  EXPECT_EQ(tr("Too quiet."), "Zu leise.");
  EXPECT_EQ(say("{0} of {1}", std::string("3"), std::string("4")), "von 4 3");
  EXPECT_EQ(tr("Too loud."), "Too loud.");
  set_language("");
  EXPECT_EQ(tr("Too quiet."), "Too quiet.");
}

TEST_F(Phrases, DoNotShowWhatTellsThemApart) {
  EXPECT_EQ(tr("Good##level"), "Good");
  set_language(".\n" + line("Good##level", "Gut"));
  EXPECT_EQ(tr("Good##level"), "Gut");
  EXPECT_EQ(tr("Good##noise"), "Good");
}

TEST_F(Phrases, KeepAPlaceThatHasNoPart) {
  EXPECT_EQ(fill("{0}{1} {x} {", {"a"}), "a{1} {x} {");
  EXPECT_EQ(fill("{0}", {"{0}"}), "{0}");  // a part is not looked into: it may be somebody's own words
}

TEST_F(Phrases, LeaveOutLinesThatAreNone) {
  set_language("nonsense\n\nzzzzzzno\n12\n" + line("a", "b"));
  EXPECT_EQ(decimal_mark(), '.');
  EXPECT_EQ(tr("a"), "b");
}

TEST_F(Phrases, BringTheDecimalMarkOfTheirLanguage) {
  EXPECT_EQ(rounded(1.82, 3), "1.82");
  set_language(",\n");
  EXPECT_EQ(rounded(1.82, 3), "1,82");
  EXPECT_EQ(duration_text(150.0), "2,5 minutes");
  EXPECT_EQ(duration_text(120.0), "2 minutes");
}

// FNV-1a of "a" is E40C292C (the published test vector); folded: E40 over C292C.
TEST_F(Phrases, HashAsThePageDoes) { EXPECT_EQ(phrase_hash("a"), 0xC292Cu ^ 0xE40u); }

}  // namespace
}  // namespace four76
