// What stays on show after Stop, and what can be done with it.
#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <variant>

#include "core/records/card.hpp"
#include "web/mirror.hpp"
#include "web/update.hpp"
#include "web/words/hint.hpp"

namespace four76 {
namespace {

Reading reading(double percent, double trusted_s) {
  Reading made;
  made.status = Status::measured;
  made.speed_error_percent = percent;
  made.u95_percent = 0.02;
  made.frequency_hz = 3000.0 * (1.0 + percent / 100.0);
  made.trusted_s = trusted_s;
  return made;
}

Snapshot heard(double calm_percent, double dial_percent) {
  Snapshot made;
  made.nominal_hz = 3000.0;
  made.channels = 1;
  made.time_s = 40.0;
  made.channel[0].dial = reading(dial_percent, 0.4);
  made.channel[0].calm = reading(calm_percent, 10.0);
  made.channel[0].whole = reading(-9.0, 40.0);  // of before the turn: never to be kept
  for (int i = 0; i < 400; ++i)
    made.channel[0].trail.push_back({20.0 + 0.05 * i, Status::measured, dial_percent, 0.02});
  return made;
}

Effects press(Model& model, const char* act) { return update(model, browser::Event(browser::ButtonPressed{act})); }

Model listening(double calm_percent = 0.42, double dial_percent = 0.43) {
  Model model;
  press(model, "act-listen");
  browser::CaptureStarted capture;
  capture.sample_rate_hz = 48000.0;
  capture.device_label = "Line in";
  (void)update(model, browser::Event(capture));
  Snapshot made = heard(calm_percent, dial_percent);
  (void)accept_snapshot(model, made);
  return model;
}

template <class Wanted>
const Wanted* find(const Effects& effects) {
  for (const Effect& effect : effects)
    if (const auto* found = std::get_if<Wanted>(&effect)) return found;
  return nullptr;
}

TEST(Held, StopEndsTheSoundAndLeavesFigureAndCourse) {
  Model model = listening();
  const Effects effects = press(model, "act-stop");
  EXPECT_TRUE(find<effect::StopCapture>(effects));
  EXPECT_TRUE(find<effect::CloseSession>(effects));
  EXPECT_EQ(model.phase, Phase::held);
  ASSERT_TRUE(shown_reading(model));
  EXPECT_EQ(*shown_reading(model)->speed_error_percent, 0.43);
  EXPECT_EQ(shown_channel(model)->trail.size(), 400u);
  EXPECT_EQ(trust(model), Trust::good);
  EXPECT_EQ(words::hint(model).text, "Within 0.5 %");
  const std::string mirror = mirror_json(model);
  for (const char* has : {R"("phase":"held")", R"("act-listen":true)", R"("act-stop":false)", R"("act-clear":true)",
                          R"("act-as-found":true)", R"("act-turned":false)", R"("act-measure":false)"})
    EXPECT_NE(mirror.find(has), std::string::npos) << has;
}

TEST(Held, ASnapshotThatComesLateChangesNothing) {
  Model model = listening();
  press(model, "act-stop");
  Snapshot late = heard(3.0, 3.0);
  (void)accept_snapshot(model, late);
  EXPECT_EQ(*shown_reading(model)->speed_error_percent, 0.43);
}

TEST(Held, AsLeftKeepsTheNewestTenSecondsAndNotWhatWasBeforeATurn) {
  Model model = listening();
  press(model, "act-stop");
  const Effects effects = press(model, "act-as-left");
  const auto* kept = find<effect::KeepVisit>(effects);
  ASSERT_TRUE(kept);
  EXPECT_FALSE(kept->demo);
  const auto has = [&](const char* text) { return kept->json.find(text) != std::string::npos; };
  EXPECT_TRUE(has(R"("stage":"as_left")")) << kept->json;
  EXPECT_TRUE(has(R"("speed_error_percent":0.42)")) << kept->json;
  EXPECT_TRUE(has(R"("device":"Line in")")) << kept->json;
  EXPECT_TRUE(has(R"("seconds":10)")) << kept->json;
}

// Stopped right after a turn: the ten seconds are of another speed.
TEST(Held, AfterATurnTheDialsReadingIsKept) {
  Model model = listening(1.8, 0.2);
  press(model, "act-stop");
  const Effects effects = press(model, "act-as-left");
  const auto* kept = find<effect::KeepVisit>(effects);
  ASSERT_TRUE(kept);
  EXPECT_NE(kept->json.find(R"("speed_error_percent":0.2,)"), std::string::npos) << kept->json;
}

TEST(Held, WhatIsInDoubtIsNotPutOnACard) {
  Model model = listening();
  model.snapshot->channel[0].dial.status = Status::unreliable;
  press(model, "act-stop");
  EXPECT_EQ(model.phase, Phase::held);
  EXPECT_TRUE(press(model, "act-as-found").empty());
}

TEST(Held, OfTheDemoItGoesOntoTheDemosCard) {
  Model model;
  press(model, "act-demo");
  Snapshot made = heard(1.8, 1.8);
  (void)accept_snapshot(model, made);
  press(model, "act-stop");
  EXPECT_EQ(words::status_line(model), "Demo: stopped");
  const Effects effects = press(model, "act-as-found");
  const auto* kept = find<effect::KeepVisit>(effects);
  ASSERT_TRUE(kept);
  EXPECT_TRUE(kept->demo);
}

TEST(Held, ClearAnotherToneAndListenEndIt) {
  for (const char* act : {"act-clear", "act-listen", "act-demo"}) {
    Model model = listening();
    press(model, "act-stop");
    press(model, act);
    EXPECT_NE(model.phase, Phase::held) << act;
    EXPECT_FALSE(model.snapshot) << act;
  }
  Model model = listening();
  press(model, "act-stop");
  (void)update(model, browser::Event(browser::ControlChanged{"tone", "3150"}));
  EXPECT_EQ(model.phase, Phase::idle);
  EXPECT_FALSE(model.snapshot);
}

TEST(Held, WithoutANumberThereIsNothingToHold) {
  Model model = listening();
  model.snapshot->channel[0].dial = {};
  press(model, "act-stop");
  EXPECT_EQ(model.phase, Phase::idle);
}

TEST(Held, IsPutOnACardOnceAsFoundAndOnceAsLeft) {
  Model model = listening();
  press(model, "act-stop");
  for (const char* act : {"act-as-found", "act-as-left"}) {
    const Effects effects = press(model, act);
    EXPECT_TRUE(find<effect::KeepVisit>(effects)) << act;
    EXPECT_TRUE(press(model, act).empty()) << act;
  }
  EXPECT_NE(mirror_json(model).find(R"("act-as-found":false)"), std::string::npos);
}

TEST(Held, OfAnotherStandardToneIsNotPutOnACard) {
  Model model = listening(5.0, 5.0);
  Reading& dial = model.snapshot->channel[0].dial;
  dial.reasons.add(Reason::wrong_tone);
  dial.other_tone_hz = 3150.0;
  dial.status = Status::unreliable;
  press(model, "act-stop");
  EXPECT_TRUE(press(model, "act-as-found").empty());
  EXPECT_NE(words::hint(model).text.find("3150 Hz"), std::string::npos) << words::hint(model).text;
  EXPECT_NE(mirror_json(model).find(R"("act-sure":false)"), std::string::npos);
}

TEST(Held, TheCourseIsOfTheSecondsThatAreKept) {
  Model model = listening();  // 20 s of trail, 10 s of them kept
  press(model, "act-stop");
  const Effects effects = press(model, "act-as-left");
  const auto* kept = find<effect::KeepVisit>(effects);
  ASSERT_TRUE(kept);
  const auto points = std::count(kept->json.begin() + static_cast<std::ptrdiff_t>(kept->json.find("\"percent\":[")),
                                 kept->json.end(), '3');
  EXPECT_NEAR(static_cast<double>(points), 100.0, 12.0);  // 0.43 each, ten a second
}

}  // namespace
}  // namespace four76
