// What is measured, onto a card: as found and as left, live, of a file and by a song; and the questions to the records.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "core/records/card.hpp"
#include "core/records/json.hpp"
#include "web/doors/records.hpp"
#include "web/machine/words.hpp"
#include "web/mirror.hpp"
#include "web/update.hpp"
#include "web/words/hint.hpp"

namespace four76 {
namespace {

Reading measured(double percent, double u95) {
  Reading reading;
  reading.status = Status::measured;
  reading.speed_error_percent = percent;
  reading.u95_percent = u95;
  reading.frequency_hz = 3000.0 * (1.0 + percent / 100.0);
  reading.trusted_s = 30.0;
  return reading;
}

Snapshot heard(double seconds, double left, double right) {
  Snapshot made;
  made.nominal_hz = 3000.0;
  made.time_s = seconds;
  made.channels = 2;
  for (int i = 0; i < 2; ++i) {
    ChannelSnapshot& channel = made.channel[static_cast<std::size_t>(i)];
    channel.whole = channel.calm = channel.dial = measured(i == 0 ? left : right, 0.02);
    channel.whole.trusted_s = seconds;
    for (double at_s = 0.5; at_s < seconds; at_s += 0.5)
      channel.trail.push_back({at_s, Status::measured, i == 0 ? left : right, 0.02});
    channel.spectrum.first_hz = 0.0;
    channel.spectrum.bin_hz = 10.0;
    channel.spectrum.level_dbfs.assign(600, -80.0F);
    channel.spectrum.level_dbfs[300] = -12.0F;
  }
  return made;
}

Effects press(Model& model, const char* act) { return update(model, browser::Event(browser::ButtonPressed{act})); }
Effects control(Model& model, const char* name, const char* value) {
  return update(model, browser::Event(browser::ControlChanged{name, value}));
}
Effects take(Model& model, Snapshot made) { return accept_snapshot(model, made); }

Model listening() {
  Model model;
  press(model, "act-listen");
  browser::CaptureStarted capture;
  capture.sample_rate_hz = 48000.0;
  capture.channels = 2;
  capture.device_label = "Line in";
  (void)update(model, browser::Event(capture));
  return model;
}

const effect::KeepVisit* kept(const Effects& effects) {
  for (const Effect& effect : effects)
    if (const auto* found = std::get_if<effect::KeepVisit>(&effect)) return found;
  return nullptr;
}

// As the page's script puts it among the visits of a card.
std::string on_a_card(const std::string& visit, const char* id = "v1") {
  return R"({"schema":"four76.cards/1","cards":[{"id":"c1","name":"Workshop deck","visits":[{"id":")" +
         std::string(id) + R"(","time":"2026-11-26 10:45","changed_ms":1,)" + visit.substr(visit.find('{') + 1) +
         "]}]}";
}

Measurement read_back(const effect::KeepVisit& kept) {
  const auto read = read_cards(on_a_card(kept.json));
  EXPECT_TRUE(read) << kept.json;
  if (!read || read->cards.cards.empty() || read->cards.cards[0].visits.empty()) {
    ADD_FAILURE() << kept.json << (read && !read->set_aside.empty() ? read->set_aside[0].why : "");
    return {};
  }
  return read->cards.cards[0].visits[0];
}

// With the dial's 20 readings a second; from a moment on at another speed.
Snapshot heard_turned(double seconds, double from_percent, double turned_at_s, double to_percent) {
  Snapshot made = heard(seconds, to_percent, to_percent);
  for (int i = 0; i < 2; ++i) {
    auto& trail = made.channel[static_cast<std::size_t>(i)].trail;
    trail.clear();
    for (int k = 1; k < 20 * seconds; ++k)
      trail.push_back({0.05 * k, Status::measured, 0.05 * k < turned_at_s ? from_percent : to_percent, 0.02});
  }
  return made;
}

TEST(Visit, ATurnOnTheWayBeginsItAgainAndIsSaid) {
  Model model = listening();
  press(model, "act-as-found");
  take(model, heard_turned(14.0, 1.8, 99.0, 1.8));
  EXPECT_EQ(words::hint(model).text, "Hands off, 16 s");
  EXPECT_EQ(words::hint(model).detail, "A turn of the screw would begin it again.");
  // 1.8 % and 0.4 % are not 1.0 %: nothing of that is kept.
  const Effects effects = take(model, heard_turned(30.0, 1.8, 16.0, 0.4));
  EXPECT_EQ(kept(effects), nullptr);
  ASSERT_TRUE(measures(model));
  EXPECT_EQ(model.machine.run->kept_as, VisitStage::as_found);
  take(model, heard_turned(2.0, 0.4, 99.0, 0.4));
  EXPECT_EQ(words::hint(model).text, "Hands off, 28 s");
  EXPECT_EQ(words::hint(model).detail, "The speed changed on the way: it began again.");
  const Effects done = take(model, heard_turned(30.0, 0.4, 99.0, 0.4));
  ASSERT_NE(kept(done), nullptr);
  EXPECT_NEAR(*read_back(*kept(done)).channels[0].speed_error_percent, 0.4, 1e-9);
}

TEST(Visit, AMachineThatJumpsByItselfIsMeasuredAllTheSame) {
  Model model = listening();
  press(model, "act-as-found");
  for (int round = 0; round < 2; ++round) {
    EXPECT_EQ(kept(take(model, heard_turned(30.0, 1.8, 16.0, 0.4))), nullptr);
    ASSERT_TRUE(measures(model));
  }
  EXPECT_NE(kept(take(model, heard_turned(30.0, 1.8, 16.0, 0.4))), nullptr);
  EXPECT_TRUE(model.machine.visit_on_its_way.ends_with("it is a mean of several speeds."))
      << model.machine.visit_on_its_way;
}

TEST(Visit, ATurnAtTheVeryEndBeginsItAgain) {
  Model model = listening();
  press(model, "act-as-found");
  EXPECT_EQ(kept(take(model, heard_turned(30.0, 1.8, 29.6, 0.4))), nullptr);
  ASSERT_TRUE(measures(model));
  EXPECT_EQ(model.machine.run->again, MeasureRun::Again::turned);
}

TEST(Visit, ALossOfTheToneOnTheWayBeginsItAgainAndIsSaid) {
  Model model = listening();
  press(model, "act-as-left");
  // The whole may have begun before the dial has found the tone: nothing is lost.
  for (const double heard_s : {0.1, 0.2}) {
    Snapshot early = heard(heard_s, 0.1, 0.1);
    for (auto& channel : early.channel) channel.dial.status = Status::no_tone;
    take(model, early);
  }
  take(model, heard(20.0, 0.1, 0.1));
  EXPECT_EQ(words::hint(model).detail, "A turn of the screw would begin it again.");
  Snapshot lost = heard(20.0, 0.1, 0.1);
  for (auto& channel : lost.channel) channel.dial.status = Status::no_tone;
  take(model, lost);
  ASSERT_TRUE(measures(model));
  EXPECT_EQ(kept(take(model, heard(29.0, 0.1, 0.1))), nullptr);
  EXPECT_EQ(words::hint(model).text, "Hands off, 1 s");
  EXPECT_EQ(words::hint(model).detail, "The tone was lost on the way: it began again.");
  EXPECT_NE(kept(take(model, heard(30.0, 0.1, 0.1))), nullptr);
}

TEST(Visit, AsFoundGoesOntoTheCardWithBothChannels) {
  Model model = listening();
  control(model, "place", "middle");
  control(model, "tape-tolerance", "0.1");
  ASSERT_TRUE(can_visit(model));
  press(model, "act-as-found");
  ASSERT_TRUE(measures(model));
  EXPECT_FALSE(can_visit(model));
  EXPECT_EQ(kept(take(model, heard(29.0, 1.2, 1.21))), nullptr);
  const Effects effects = take(model, heard(30.0, 1.2, 1.21));
  ASSERT_NE(kept(effects), nullptr);
  EXPECT_FALSE(kept(effects)->demo);
  const Measurement visit = read_back(*kept(effects));
  EXPECT_EQ(visit.stage, VisitStage::as_found);
  EXPECT_EQ(visit.place, TapePlace::middle);
  EXPECT_EQ(visit.seconds, 30.0);
  EXPECT_EQ(visit.device, "Line in");
  EXPECT_EQ(visit.tape_u95_percent, 0.1);
  ASSERT_EQ(visit.channels.size(), 2u);
  EXPECT_EQ(visit.channels[0].channel, "left");
  EXPECT_NEAR(*visit.channels[1].speed_error_percent, 1.21, 1e-9);
  EXPECT_GT(visit.course_percent.size(), 200u);
  // 600 bins as 200: three to one.
  EXPECT_EQ(visit.spectrum_dbfs.size(), 200u);
  EXPECT_EQ(visit.spectrum_bin_hz, 30.0);
  EXPECT_EQ(visit.spectrum_dbfs[100], -12.0);
  EXPECT_EQ(verdict_of(visit), VisitVerdict::outside);
  EXPECT_EQ(model.machine.visit_said, "") << "said before the page has stored it";
  update(model, Intent(intent::VisitStored{}));
  EXPECT_EQ(words::messages(model).front().act, "act-cards");
  EXPECT_NE(words::messages(model).front().text.find("As found: +1.2"), std::string::npos) << model.machine.visit_said;
}

TEST(Visit, OfOneChannelChosenIsOfThatAlone) {
  Model model = listening();
  control(model, "channel", "right");
  press(model, "act-as-left");
  const Effects effects = take(model, heard(30.0, 9.0, 0.1));
  ASSERT_NE(kept(effects), nullptr);
  const Measurement visit = read_back(*kept(effects));
  ASSERT_EQ(visit.channels.size(), 1u);
  EXPECT_EQ(visit.channels[0].channel, "right");
  EXPECT_EQ(visit.stage, VisitStage::as_left);
  EXPECT_EQ(verdict_of(visit), VisitVerdict::within);
}

TEST(Visit, LastsAsLongAsAskedFor) {
  Model model = listening();
  EXPECT_TRUE(control(model, "visit-seconds", "4").empty());
  EXPECT_TRUE(control(model, "visit-seconds", "3601").empty());
  EXPECT_FALSE(control(model, "visit-seconds", "5").empty());
  EXPECT_EQ(words::measure_name(model), "Measure 5 s");
  press(model, "act-as-found");
  control(model, "visit-seconds", "60");  // too late
  EXPECT_NE(kept(take(model, heard(5.0, 0.1, 0.1))), nullptr);
}

TEST(Visit, ThatCannotBeTrustedIsNotKeptAndSaysWhy) {
  Model model = listening();
  press(model, "act-as-found");
  Snapshot noisy = heard(30.0, 0.1, 0.1);
  for (ChannelSnapshot& channel : noisy.channel) {
    channel.whole.status = Status::unreliable;
    channel.whole.reasons.add(Reason::clipping);
  }
  EXPECT_EQ(kept(take(model, noisy)), nullptr);
  EXPECT_NE(model.machine.visit_said.find("nothing was put on the card"), std::string::npos)
      << model.machine.visit_said;
  EXPECT_NE(model.machine.visit_said.find("Too loud"), std::string::npos) << model.machine.visit_said;
  press(model, "act-as-found");
  EXPECT_EQ(model.machine.visit_said, "");
}

TEST(Visit, BrokenOffIsNotKept) {
  Model model = listening();
  press(model, "act-as-found");
  take(model, heard(20.0, 0.1, 0.1));
  press(model, "act-measure");
  EXPECT_FALSE(measures(model));
  EXPECT_EQ(kept(take(model, heard(40.0, 0.1, 0.1))), nullptr);
}

TEST(Visit, AFileIsKeptAsItIs) {
  Model model;
  (void)update(model, browser::Event(browser::FileStarted{"deck.wav"}));
  browser::FileMeasured file;
  file.snapshot = encode(heard(12.0, -0.3, -0.31));
  (void)update(model, browser::Event(file));
  ASSERT_TRUE(can_visit(model));
  const Effects effects = press(model, "act-as-found");
  ASSERT_NE(kept(effects), nullptr);
  const Measurement visit = read_back(*kept(effects));
  EXPECT_EQ(visit.device, "deck.wav");
  EXPECT_EQ(visit.seconds, 12.0);
  EXPECT_EQ(visit.source, VisitSource::tone);
  EXPECT_FALSE(visit.course_percent.empty());
}

TEST(Visit, AFilesLongNameIsCutToWhatACardTakes) {
  Model model;
  std::string name;
  for (int i = 0; i < 251; ++i) name += "\u5b57";  // as long as file systems allow
  (void)update(model, browser::Event(browser::FileStarted{name + ".wav"}));
  browser::FileMeasured file;
  file.snapshot = encode(heard(12.0, -0.3, -0.31));
  (void)update(model, browser::Event(file));
  const Effects effects = press(model, "act-as-found");
  ASSERT_NE(kept(effects), nullptr);
  const Measurement visit = read_back(*kept(effects));
  EXPECT_FALSE(visit.device.empty());
  EXPECT_EQ(name.find(visit.device), 0u);
}

TEST(Visit, TheDemosIsMarkedAsSuch) {
  Model model;
  press(model, "act-demo");
  press(model, "act-as-found");
  Snapshot made = heard(30.0, 1.8, 1.8);
  const Effects effects = take(model, made);
  ASSERT_NE(kept(effects), nullptr);
  EXPECT_TRUE(kept(effects)->demo);
  EXPECT_EQ(read_back(*kept(effects)).device, "simulated tape");
}

TEST(Visit, IsMirrored) {
  Model model = listening();
  control(model, "place", "start");
  press(model, "act-as-left");
  take(model, heard(15.0, 0.1, 0.1));
  const auto json = parse_json(mirror_json(model));
  ASSERT_TRUE(json);
  const Json* measure = json->find("measure");
  ASSERT_NE(measure, nullptr);
  EXPECT_EQ(*measure->find("place")->as_string(), "start");
  EXPECT_EQ(*measure->find("kept_as")->as_string(), "as_left");
  EXPECT_EQ(*measure->find("act")->as_string(), "Break off");
  EXPECT_NEAR(*measure->find("progress")->as_number(), 0.5, 1e-6);
  EXPECT_EQ(json->find("usable")->find("act-as-left")->as_boolean(), false);
}

TEST(Visit, TroubleWithTheCardsIsSaid) {
  Model model;
  for (const char* state : {"refused", "full", "set-aside"}) {
    control(model, "cards", state);
    ASSERT_FALSE(words::messages(model).empty()) << state;
    EXPECT_EQ(words::messages(model).front().weight, words::Message::Weight::warning);
  }
  control(model, "cards", "kept");
  EXPECT_TRUE(words::messages(model).empty());
  control(model, "cards", "nonsense");
  EXPECT_TRUE(words::messages(model).empty());
}

// ---- Questions to the records
// -----------------------------------------------------------------------------------------

std::string two_visits() {
  return R"({"schema":"four76.cards/1","cards":[{"id":"c1","name":"Workshop \"deck\"","kind":"portable","visits":[
    {"id":"a","time":"2026-11-01 10:00","stage":"as_found","seconds":30,"channels":[{"channel":"mono","status":"measured",
     "speed_error_percent":1.2,"u95_percent":0.02}]},
    {"id":"b","time":"2026-11-01 11:00","stage":"as_left","seconds":30,"channels":[{"channel":"mono","status":"measured",
     "speed_error_percent":0.05,"u95_percent":0.02}]},
    {"id":"c","time":"2026-11-07 11:00","stage":"as_found","seconds":30,"channels":[{"channel":"mono","status":"measured",
     "speed_error_percent":0.9,"u95_percent":0.02}]},
    {"id":"d","stage":"nonsense"}]}]})";
}

Json answer(std::string_view what, std::array<std::string_view, 4> texts) {
  const std::string text = ask_records(what, texts);
  const auto json = parse_json(text);
  EXPECT_TRUE(json) << text;
  return json ? *json : Json();
}

TEST(Records, AreReadIntoWordsAndWhatIsBrokenIsSetAside) {
  const std::string text = two_visits();
  const Json told = answer("read", {text, "", "", ""});
  EXPECT_EQ(*told.find("fault")->as_string(), "");
  ASSERT_EQ(told.find("set_aside")->items().size(), 1u);
  EXPECT_EQ(*told.find("set_aside")->items()[0].find("what")->as_string(), "card 1, visit 4");
  const Json& aside = told.find("set_aside")->items()[0];
  EXPECT_EQ(*aside.find("kind")->as_string(), "card");
  EXPECT_EQ(aside.find("index")->as_number(), 0.0);
  EXPECT_EQ(aside.find("visit")->as_number(), 3.0);
  const Json& card = told.find("cards")->items().at(0);
  EXPECT_EQ(*card.find("name")->as_string(), "Workshop \"deck\"");
  ASSERT_EQ(card.find("visits")->items().size(), 3u);
  EXPECT_EQ(*card.find("visits")->items()[0].find("heading")->as_string(), "As found, 2026-11-01 10:00");
  EXPECT_EQ(*card.find("visits")->items()[0].find("speed")->as_string(), "1.20 % fast, known to \u00b1 0.020 %");
  EXPECT_EQ(*card.find("visits")->items()[0].find("judged")->as_string(), "outside");
  EXPECT_NE(card.find("since")->as_string()->find("6 days ago it went back"), std::string::npos)
      << *card.find("since")->as_string();
  EXPECT_NE(card.find("newest")->as_string()->find("0.90 % fast"), std::string::npos)
      << *card.find("newest")->as_string();
  // What is to be kept reads as the same again.
  const auto kept = read_cards(text);
  const Json again = answer("read", {write_cards(kept->cards), "", "", ""});
  EXPECT_TRUE(again.find("set_aside")->items().empty());
}

TEST(Records, AreMergedWithoutDuplicates) {
  const std::string text = two_visits();
  const Json told = answer("merge", {text, text, "", ""});
  EXPECT_EQ(told.find("cards")->items().size(), 1u);
  EXPECT_EQ(told.find("cards")->items()[0].find("visits")->items().size(), 3u);
  EXPECT_EQ(*told.find("said")->as_string(), "0 new, 0 renewed, 4 known already.");
  const Json into_nothing = answer("merge", {R"({"schema":"four76.cards/1"})", text, "", ""});
  EXPECT_EQ(*into_nothing.find("said")->as_string(), "4 new, 0 renewed, 0 known already.");
}

TEST(Records, ThatCannotBeReadAreRefusedInWords) {
  for (const char* text :
       {"", "{}", "[1,2]", "{\"schema\":\"four76.cards/9\"}", "\x01\x02", "{\"schema\":\"four76.cards/1\""}) {
    EXPECT_NE(*answer("read", {text, "", "", ""}).find("fault")->as_string(), "") << text;
    EXPECT_NE(*answer("merge", {two_visits(), text, "", ""}).find("fault")->as_string(), "") << text;
    EXPECT_NE(*answer("report", {text, "c1", "", ""}).find("fault")->as_string(), "") << text;
    EXPECT_EQ(ask_records("csv", {text, "", "", ""}), "") << text;
  }
  EXPECT_NE(*answer("sing", {"", "", "", ""}).find("fault")->as_string(), "");
}

TEST(Records, MakeAReportAndATable) {
  const std::string text = two_visits();
  const Json report = answer("report", {text, "c1", "A. Maker", ""});
  EXPECT_EQ(*report.find("title")->as_string(), "Workshop \"deck\"");
  EXPECT_NE(report.find("summary")->as_string()->find("From 1.2 % fast to 0.05 % fast."), std::string::npos)
      << *report.find("summary")->as_string();
  EXPECT_EQ(report.find("readings")->items().size(), 2u);
  EXPECT_NE(*answer("report", {text, "gone", "", ""}).find("fault")->as_string(), "");
  const std::string csv = ask_records("csv", {text, "", "", ""});
  EXPECT_EQ(std::count(csv.begin(), csv.end(), '\n'), 4) << csv;
}

// ---- A friend's link
// --------------------------------------------------------------------------------------------------

std::string link_of(const Json& told) {
  const Json* link = told.find("link");
  return link && link->as_string() ? *link->as_string() : "";
}
Effects open(Model& model, const std::string& fragment) {
  return update(model, browser::Event(browser::FragmentOpened{fragment}));
}

TEST(FriendLink, SetsUpTheBenchAndBringsTheResultHome) {
  const std::string asked = link_of(answer("ask", {"k3f9x2", "3150;0.3;0.1", "portable", "Side A, please"}));
  ASSERT_NE(asked, "");
  Model friends;
  open(friends, "#" + asked);
  EXPECT_EQ(friends.settings.nominal_hz, 3150.0);
  EXPECT_EQ(friends.settings.tolerance_percent, 0.3);
  EXPECT_EQ(friends.settings.tape_tolerance_percent, 0.1);
  const words::Message message = words::messages(friends).front();
  EXPECT_EQ(message.act, "act-answer");
  EXPECT_NE(message.text.find("They write: \u201cSide A, please\u201d"), std::string::npos) << message.text;

  press(friends, "act-answer");
  EXPECT_EQ(friends.phase, Phase::asking);
  browser::CaptureStarted capture;
  capture.sample_rate_hz = 48000.0;
  (void)update(friends, browser::Event(capture));
  Snapshot first = heard(1.0, -0.31, -0.31);
  first.nominal_hz = 3150.0;
  first.channels = 1;
  take(friends, first);  // good: the run begins by itself
  ASSERT_TRUE(measures(friends));
  Snapshot last = heard(30.0, -0.31, -0.31);
  last.nominal_hz = 3150.0;
  last.channels = 1;
  const Effects effects = take(friends, last);
  ASSERT_NE(kept(effects), nullptr);
  EXPECT_TRUE(friends.friends.answered);
  EXPECT_NE(mirror_json(friends).find("\"mode\":\"answer\""), std::string::npos);

  const std::string one = on_a_card(kept(effects)->json);
  const std::string did = link_of(answer("answer", {one, "k3f9x2", "2026-11-27", "after cleaning"}));
  ASSERT_NE(did, "");
  Model owner;
  open(owner, did);
  ASSERT_TRUE(owner.friends.done.has_value());
  EXPECT_EQ(owner.friends.done->id, "k3f9x2");
  // The reading's 0.02 % and the tape's 0.1 % (derived: root of the sum of squares), and the clock's 0.01 % is unknown.
  EXPECT_NEAR(owner.friends.done->u95_percent, std::hypot(0.02, 0.1 * 0.9969), 1e-4);
  EXPECT_EQ(owner.settings, Settings{});  // a result sets nothing
  EXPECT_EQ(words::messages(owner).front().act, "act-friend");
  const Json filed = answer("filed", {did, "", "", ""});
  const Json* visit = filed.find("visit");
  ASSERT_NE(visit, nullptr);
  EXPECT_EQ(visit->find("id")->as_string()->substr(0, 14), "friend-k3f9x2-");
  EXPECT_EQ(*visit->find("note")->as_string(), "They write: after cleaning");
  EXPECT_FALSE(visit->find("clock_u95_ppm"));  // nobody said that their clock was checked
  press(owner, "act-link-filed");
  EXPECT_FALSE(owner.friends.done.has_value());
}

// The big button does what they came for.
TEST(FriendLink, ListenAnswersWhoeverAsked) {
  Model model;
  open(model, "#" + link_of(answer("ask", {"k3f9x2", "3150;0.3;", "", ""})));
  press(model, "act-listen");
  EXPECT_EQ(model.phase, Phase::asking);
  EXPECT_TRUE(model.friends.answering);
  press(model, "act-stop");
  EXPECT_FALSE(model.friends.answering);
  model.friends.answered = true;
  press(model, "act-listen");
  EXPECT_FALSE(model.friends.answering);
}

TEST(FriendLink, ThatIsHostileChangesNothingAndSaysSo) {
  const std::string asked = link_of(answer("ask", {"k3f9x2", "3150;0.3;", "", ""}));
  ASSERT_NE(asked, "");
  for (std::size_t at = 0; at < asked.size(); ++at) {
    std::string broken = asked;
    broken[at] = broken[at] == '7' ? '8' : '7';
    Model model;
    EXPECT_TRUE(open(model, broken).empty()) << broken;
    EXPECT_FALSE(model.friends.asked || model.friends.done) << broken;
    EXPECT_EQ(model.settings, Settings{}) << broken;
    EXPECT_FALSE(model.link_fault.empty()) << broken;
  }
}

TEST(FriendLink, ThatDoesNotFitIsNotMade) {
  const std::string long_note(390, 'x');
  EXPECT_NE(*answer("ask", {"k3f9x2", "3150;0.3;", "", long_note}).find("fault")->as_string(), "");
  EXPECT_NE(*answer("ask", {"k3f9x2", "3150", "", ""}).find("fault")->as_string(), "");
  EXPECT_NE(*answer("ask", {"k3f9x2", "50000;0.3;", "", ""}).find("fault")->as_string(), "");
  EXPECT_NE(
      *answer("answer", {R"({"schema":"four76.cards/1"})", "k3f9x2", "2026-11-27", ""}).find("fault")->as_string(), "");
  EXPECT_NE(*answer("filed", {link_of(answer("ask", {"k3f9x2", "3150;0.3;", "", ""})), "", "", ""})
                 .find("fault")
                 ->as_string(),
            "");
}

TEST(FriendLink, AnswerIsGivenUpWithWhatRuns) {
  Model model = listening();
  open(model, link_of(answer("ask", {"k3f9x2", "3000;0.5;", "", ""})));
  press(model, "act-answer");
  EXPECT_TRUE(model.friends.answering);
  press(model, "act-stop");
  EXPECT_FALSE(model.friends.answering);
  EXPECT_TRUE(can_answer(model));
}

}  // namespace
}  // namespace four76
