// What the page of any tapes keeps, says and shows: web/tapes. The speeds come from core/tapes and are tested there.
#include <gtest/gtest.h>

#include "core/records/card.hpp"
#include "core/records/tapes_text.hpp"
#include "web/tapes/card_visit.hpp"
#include "web/tapes/drawer.hpp"
#include "web/tapes/mirror.hpp"
#include "web/tapes/words.hpp"

namespace four76 {
namespace {

TapeFindings findings(double measured_hz) {
  TapeFindings found;
  found.evidence.push_back({EvidenceKind::concert_pitch, 440.0, measured_hz, 0.03, 1.0});
  found.evidence.push_back({EvidenceKind::mains_hum, 50.0, 50.2, 0.1, 0.8});
  found.relative_wow_rms_percent = 0.12;
  found.relative_wow_u95_percent = 0.03;
  found.wow_rate_hz = 0.8;
  found.wow_rate_u95_hz = 0.01;
  found.lately_percent = 0.42;
  found.lately_u95_percent = 0.031;
  found.heard_s = 31.5;
  return found;
}

TEST(Drawer, ComesBackAsItWasWritten) {
  Drawer drawer;
  drawer.tuning.concert_a_hz = 442.0;
  drawer.sounds_like = SoundsLike::fast;
  ASSERT_TRUE(put_into(drawer, "Summer, \"A\" ü", findings(441.25)));
  const auto read = read_drawer(write_drawer(drawer));
  ASSERT_TRUE(read);
  EXPECT_EQ(read->tuning.concert_a_hz, 442.0);
  EXPECT_EQ(read->sounds_like, SoundsLike::fast);
  ASSERT_EQ(read->tapes.size(), 1u);
  EXPECT_EQ(read->tapes[0].name, "Summer, \"A\" ü");
  ASSERT_EQ(read->tapes[0].findings.evidence.size(), 2u);
  EXPECT_EQ(read->tapes[0].findings.evidence[0].measured_hz, 441.25);
  EXPECT_EQ(read->tapes[0].findings.evidence[1].kind, EvidenceKind::mains_hum);
  EXPECT_EQ(read->tapes[0].findings.relative_wow_rms_percent, 0.12);
  EXPECT_EQ(read->tapes[0].findings.relative_wow_u95_percent, 0.03);
  EXPECT_EQ(read->tapes[0].findings.wow_rate_hz, 0.8);
  EXPECT_EQ(read->tapes[0].findings.wow_rate_u95_hz, 0.01);
  EXPECT_FALSE(read->tapes[0].findings.lately_percent) << "the live dial is of no use later";
}

TEST(Drawer, KeepsAnUnknownTuning) {
  Drawer drawer;
  drawer.tuning.concert_a_hz.reset();
  const auto read = read_drawer(write_drawer(drawer));
  ASSERT_TRUE(read);
  EXPECT_FALSE(read->tuning.concert_a_hz);
}

TEST(Drawer, IsEmptyWhereNothingWasKept) {
  const auto read = read_drawer("");
  ASSERT_TRUE(read);
  EXPECT_TRUE(read->tapes.empty());
  EXPECT_EQ(read->tuning.concert_a_hz, 440.0);
}

TEST(Drawer, RefusesWhatIsDamaged) {
  Drawer drawer;
  ASSERT_TRUE(put_into(drawer, "Side A", findings(440.0)));
  const std::string good = write_drawer(drawer);
  const auto spoiled = [&](const std::string& from, const std::string& to) {
    std::string text = good;
    text.replace(text.find(from), from.size(), to);
    return read_drawer(text).has_value();
  };
  EXPECT_FALSE(read_drawer(good.substr(0, good.size() / 2)));
  EXPECT_FALSE(spoiled("four76.drawer/1", "four76.drawer/2"));
  EXPECT_FALSE(spoiled("concert_pitch", "tempo"));
  EXPECT_FALSE(spoiled("Side A", "Side\\nA"));
  EXPECT_FALSE(spoiled("\"sounds_like\":0", "\"sounds_like\":4"));
  EXPECT_FALSE(spoiled("31.5", "-1"));
  EXPECT_FALSE(spoiled("\"concert_a_hz\":440", "\"concert_a_hz\":4400"));
  EXPECT_TRUE(spoiled("Side A", "Side B"));
}

TEST(Drawer, TakesNamesOfOneLineAndDropsTheOldest) {
  Drawer drawer;
  EXPECT_FALSE(put_into(drawer, "", findings(440.0)));
  EXPECT_FALSE(put_into(drawer, "two\nlines", findings(440.0)));
  for (std::size_t i = 0; i <= kMostDrawerTapes; ++i) put_into(drawer, std::to_string(i), findings(440.0));
  EXPECT_EQ(drawer.tapes.size(), kMostDrawerTapes);
  EXPECT_EQ(drawer.tapes.front().name, "1");
  EXPECT_LT(write_drawer(drawer).size(), kLongestDrawerText);
}

TEST(TapesVisit, HoldsWhatTheTapesToldOnceOneSpeedIsLeft) {
  Drawer drawer;
  const auto visit = [&](std::optional<TapeFindings> present = {}) { return tapes_visit({drawer, present, 0.3}); };
  EXPECT_FALSE(visit());
  drawer.sounds_like = SoundsLike::right;
  EXPECT_FALSE(visit(findings(441.0))) << "none is kept yet";
  TapeFindings silent;
  silent.heard_s = 40.0;
  ASSERT_TRUE(put_into(drawer, "Side A", findings(441.0)));
  ASSERT_TRUE(put_into(drawer, "Speech", silent));
  const auto told = visit(findings(441.5));
  ASSERT_TRUE(told);
  EXPECT_EQ(told->source, VisitSource::tapes);
  EXPECT_EQ(told->stage, VisitStage::between);
  EXPECT_EQ(told->tolerance_percent, 0.3);
  EXPECT_EQ(told->seconds, 63.0);
  ASSERT_TRUE(told->by_tapes);
  EXPECT_EQ(told->by_tapes->tapes, 2) << "of speech nothing was told";
  EXPECT_EQ(told->by_tapes->concert_a_hz, 440.0);
  EXPECT_TRUE(told->by_tapes->mains_hum);
  EXPECT_FALSE(told->by_tapes->line_scan);
  EXPECT_EQ(told->by_tapes->sounds_like, SoundsLike::right);
  const SpeedCandidate speed = answer_of({drawer, findings(441.5), 0.3}).candidates.front();
  EXPECT_EQ(told->by_tapes->speed_error_percent, speed.speed_error_percent);
  EXPECT_EQ(told->by_tapes->u95_percent, speed.u95_percent);

  // A card takes it.
  Card card;
  card.id = "a";
  card.visits = {*told};
  card.visits[0].id = "t";
  const auto kept = read_cards(write_cards({{card}, {}}));
  ASSERT_TRUE(kept);
  EXPECT_TRUE(kept->set_aside.empty());
  drawer.tuning.concert_a_hz.reset();
  const auto by_hum = visit();
  ASSERT_TRUE(by_hum);
  EXPECT_FALSE(by_hum->by_tapes->concert_a_hz) << "without a tuning the notes tell no speed";
}

TEST(TapesWords, ShowTwoDigitsOfTheUncertaintyAndNoMore) {
  const auto shown = [](double percent, double u95) {
    const TapeFigure figure = tape_figure(percent, u95);
    return figure.number + " " + figure.plus_minus;
  };
  EXPECT_EQ(shown(0.4249, 0.31), "+0.42 \u00b10.31");
  EXPECT_EQ(shown(-3.021, 1.24), "\u22123.0 \u00b11.3") << "rounded up, never understated";
  EXPECT_EQ(shown(0.42491, 0.031), "+0.425 \u00b10.031");
  EXPECT_EQ(shown(4.2, 12.0), "+4 \u00b112");
  EXPECT_EQ(shown(0.4249, 0.0995), "+0.42 \u00b10.10");
}

TEST(TapesWords, TellCandidatesAsEquals) {
  SpeedAnswer answer;
  answer.status = TapeStatus::ambiguous;
  answer.candidates = {{-3.0, 0.71, 0.51}, {2.9, 0.72, 0.49}};
  EXPECT_EQ(words::says(answer), "\u22123.00 or +2.90 %");
  answer.status = TapeStatus::measured;
  answer.candidates.pop_back();
  EXPECT_EQ(words::says(answer), "\u22123.00 \u00b10.71 %");
  answer.candidates.clear();
  answer.reasons = {TapeReason::no_pitch};
  EXPECT_EQ(words::says(answer), "No steady notes.");
}

TEST(TapesWords, SayWhatTheSpeedGoesBy) {
  const TapeFindings one[] = {findings(441.0)};
  const std::string said = words::basis(one, TuningPrior{}, TapeStatus::ambiguous);
  EXPECT_NE(said.find("tuned to A = 440 Hz"), std::string::npos);
  EXPECT_NE(said.find("Mains hum"), std::string::npos);
  EXPECT_NE(words::basis(one, TuningPrior{std::nullopt}, TapeStatus::none).find("Without a known tuning"),
            std::string::npos);
  for (std::size_t i = 0; i < kTapeReasonCount; ++i) {
    const words::Advice advice = words::tape_advice(static_cast<TapeReason>(i));
    EXPECT_FALSE(advice.what.empty());
    EXPECT_FALSE(advice.todo.empty());
  }
}

TEST(TapesWords, SayNoMoreOfWowThanIsKnown) {
  TapeFindings found = findings(440.0);
  EXPECT_EQ(words::wow(found), "about 0.12 % RMS, strongest at 0.80 Hz");
  found.relative_wow_u95_percent.reset();
  EXPECT_EQ(words::wow(found), "at least 0.12 % RMS, strongest at 0.80 Hz");
  found.wow_rate_hz.reset();
  EXPECT_EQ(words::wow(found), "at least 0.12 % RMS");
  found.relative_wow_u95_percent = 0.03;
  EXPECT_EQ(words::wow(found), "about 0.12 % RMS");
  found.relative_wow_rms_percent.reset();
  EXPECT_EQ(words::wow(found), "");
}

TEST(TapesMirror, TellsOfTheTapeThatPlaysAndOfThoseThatAreKept) {
  Drawer drawer;
  put_into(drawer, "Side A", findings(441.0));
  const std::string both = tapes_json({drawer, findings(441.5), 0.5});
  EXPECT_NE(both.find("\"can_keep\":true"), std::string::npos);
  EXPECT_NE(both.find("\"lately\":\"+0.420 \u00b10.031 %\""), std::string::npos);
  EXPECT_NE(both.find("\"name\":\"Side A\""), std::string::npos);
  EXPECT_EQ(all_findings({drawer, findings(441.5), 0.5}).size(), 2u);
  const std::string kept = tapes_json({drawer, std::nullopt, 0.5});
  EXPECT_NE(kept.find("\"can_keep\":false"), std::string::npos);
  EXPECT_NE(kept.find("\"lately\":\"\""), std::string::npos);
  EXPECT_NE(tapes_json({Drawer{}, std::nullopt, 0.5}).find("\"reasons\":[]"), std::string::npos)
      << "with nothing played there is nothing wrong";
}

}  // namespace
}  // namespace four76
