// What the page says of the causes, and how the machine's parts are entered and kept.
#include <gtest/gtest.h>

#include <string>

#include "web/flutter/causes/words.hpp"
#include "web/flutter/words.hpp"
#include "web/mirror.hpp"
#include "web/update.hpp"

namespace four76 {
namespace {

bool says(const std::string& text, std::string_view part) { return text.find(part) != std::string::npos; }

FlutterFigure figure(double percent) {
  FlutterFigure made;
  made.percent = made.as_read_percent = percent;
  made.u95_percent = made.noise_percent = 0.002;
  made.least_percent = 0.004;
  return made;
}

FlutterPeak peak(double rate_hz, double percent) {
  FlutterPeak made;
  made.rate_hz = rate_hz;
  made.rate_u95_hz = 0.001;
  made.peak_percent = percent;
  made.peak_u95_percent = 0.004;
  return made;
}

// A roller of 12 mm that is out of round by 1 %, and a capstan of 2 mm, through a minute.
Snapshot rolling() {
  Snapshot made;
  made.nominal_hz = 3000.0;
  made.channels = 1;
  ChannelSnapshot& channel = made.channel[0];
  for (Reading* reading : {&channel.dial, &channel.calm, &channel.whole}) {
    reading->status = Status::measured;
    reading->frequency_hz = 3000.0;
    reading->speed_error_percent = 0.0;
    reading->u95_percent = 0.02;
    reading->wow_u95_percent = 0.02;
    reading->trusted_s = 60.0;
  }
  channel.flutter.weighted_two_sigma = figure(0.72);
  channel.flutter.weighted_rms = figure(0.51);
  channel.flutter.unweighted_two_sigma = figure(1.02);
  channel.flutter.unweighted_rms = figure(0.72);
  channel.flutter.counted_s = 10.0;
  channel.whole_flutter = channel.flutter;
  channel.flutter_picture.peaks = {peak(1.263, 1.0), peak(7.58, 0.2)};
  channel.flutter_picture.span_s = 60.0;
  channel.evidence.reading = channel.calm;
  channel.evidence.figures = channel.flutter;
  channel.evidence.span_s = channel.evidence.level_s = 60.0;
  channel.evidence.resolution_hz = 2.0 / 60.0;
  return made;
}

Model listening_to(Snapshot made) {
  Model model;
  model.phase = Phase::listening;
  accept_snapshot(model, made);
  return model;
}

Effects enter(Model& model, const std::string& text) {
  return update(model, browser::Event(browser::ControlChanged{"parts", text}));
}

TEST(PageCauses, AreJudgedWithEverySnapshot) {
  Model model = listening_to(rolling());
  ASSERT_TRUE(model.causes.judgement.has_value());
  ASSERT_FALSE(model.causes.judgement->causes.list.empty());
  EXPECT_EQ(model.causes.judgement->causes.list[0].kind, CauseKind::pinch_roller);
  EXPECT_EQ(words::peak_part(model, 0), "pinch roller");
  EXPECT_EQ(words::peak_label(model, 1, true), "7.6 Hz, 0.20 %, capstan");
  EXPECT_EQ(words::peak_label(model, 1, false), "7.6 Hz capstan");
  const auto said = words::flutter_verdict(model);
  EXPECT_TRUE(says(said.headline, "Do not trim yet")) << said.headline;
  EXPECT_TRUE(said.warns);
  EXPECT_TRUE(says(said.detail, "Pinch roller (")) << said.detail;
  EXPECT_TRUE(says(words::flutter_judgement(model), "Misses what is usual for a pocket portable"));
  EXPECT_EQ(words::standards_held_against(model).size(), kStandards.size());
  (void)update(model, browser::Event(browser::ButtonPressed{"act-stop"}));
  EXPECT_TRUE(model.causes.judgement.has_value());  // of what is held
  (void)update(model, browser::Event(browser::ButtonPressed{"act-clear"}));
  EXPECT_FALSE(model.causes.judgement.has_value());
}

TEST(PageCauses, SayWhatARateWouldBe) {
  const Model model = listening_to(rolling());
  EXPECT_EQ(words::would_be(model, peak(7.58, 0.2)),
            "7.58 Hz would be a capstan of 2.0 mm, a motor at 455 turns a minute.");
  EXPECT_TRUE(says(words::would_be(model, peak(1.263, 1.0)), "a pinch roller of 12 mm"));
  FlutterPeak hum = peak(50.0, 0.01);
  hum.foreign = true;
  EXPECT_TRUE(says(words::would_be(model, hum), "no part of the machine"));
}

TEST(PageCauses, SayWhereARateIsAMultiple) {
  Snapshot made = rolling();
  made.channel[0].flutter_picture.peaks = {peak(1.263, 1.0), peak(2.526, 0.3), peak(6.064, 0.2)};
  const Model model = listening_to(made);
  EXPECT_EQ(words::rate_line(model, 1), "2.53 Hz is 2 times 1.26 Hz: of the same part.");
  EXPECT_EQ(words::rate_line(model, 2), words::would_be(model, peak(6.064, 0.2)));
  EXPECT_EQ(words::rate_line(model, 3), "");
}

TEST(PageCauses, SayWhichRatesMove) {
  Snapshot made = rolling();
  FlutterPeak reel = peak(0.53, 0.4);
  reel.steady = false;
  reel.moving = true;
  reel.change_hz_per_minute = -0.012;
  reel.change_u95_hz_per_minute = 0.001;
  made.channel[0].flutter_picture.peaks.push_back(reel);
  const Model model = listening_to(made);
  EXPECT_TRUE(says(words::would_be(model, reel), "0.530 Hz, moving by \u22120.012 Hz a minute, would be "))
      << words::would_be(model, reel);
  const std::string label = words::peak_label(model, 2, true);
  EXPECT_TRUE(says(label, "0.53 Hz, 0.40 %") && label.ends_with(", moving")) << label;
  EXPECT_TRUE(says(words::components(model.snapshot->channel[0].flutter_picture.peaks), "0.53 Hz, 0.40 %, moving"));
}

// A file brings no further snapshot: the other channel's causes have to come with the choice.
TEST(PageCauses, FollowTheChannel) {
  Snapshot made = rolling();
  made.channels = 2;
  made.channel[1] = made.channel[0];
  made.channel[1].flutter_picture.peaks = {peak(7.58, 1.0)};
  Model model;
  model.phase = Phase::file_shown;
  (void)accept_snapshot(model, made);
  (void)update(model, browser::Event(browser::ControlChanged{"channel", "left"}));
  EXPECT_EQ(words::peak_part(model, 0), "pinch roller");
  (void)update(model, browser::Event(browser::ControlChanged{"channel", "right"}));
  EXPECT_EQ(words::peak_part(model, 0), "capstan");
  ASSERT_TRUE(model.causes.judgement.has_value());
  for (const Cause& cause : model.causes.judgement->causes.list) EXPECT_NE(cause.kind, CauseKind::pinch_roller);
}

TEST(PageCauses, ChangeWithWhatIsEntered) {
  Model model = listening_to(rolling());
  const Effects effects = enter(model, "motor_rpm=455;capstan_mm=2.5;roller_mm=12");
  ASSERT_EQ(effects.size(), 1u);
  EXPECT_EQ(std::get<effect::Store>(effects[0]).key, "parts");
  EXPECT_TRUE(says(mirror_json(model), "\"parts_entered\":1"));
  EXPECT_TRUE(enter(model, "motor_rpm=x").empty());
  EXPECT_TRUE(says(mirror_json(model), "\"parts_entered\":2"));
  EXPECT_EQ(model.settings.known.motor_rpm, 455.0);
  EXPECT_EQ(words::peak_part(model, 1), "motor");  // no capstan of 2.5 mm turns so fast
  EXPECT_TRUE(says(mirror_json(model), "motor_rpm=455"));
}

TEST(PageCauses, RefuseWhatNoMachineHasAndKeepWhatWasKnown) {
  Model model = listening_to(rolling());
  enter(model, "capstan_mm=2");
  for (const char* wrong : {"capstan_mm=200", "capstan_mm=two", "wheel=3", "flywheel_mm=1"}) {
    EXPECT_TRUE(enter(model, wrong).empty()) << wrong;
    EXPECT_FALSE(model.causes.parts_fault.empty()) << wrong;
    EXPECT_EQ(model.settings.known.capstan_diameter_mm, 2.0) << wrong;
  }
  EXPECT_TRUE(says(mirror_json(model), "flywheel"));
  enter(model, "");
  EXPECT_TRUE(model.causes.parts_fault.empty());
  EXPECT_EQ(model.settings.known, KnownParts{});
}

TEST(PageCauses, WhatWasKeptComesBackAndWhatIsBrokenDoesNot) {
  const auto load = [](std::string value) {
    Model model;
    restore_settings(model, [&](std::string_view key) { return key == "parts" ? std::optional(value) : std::nullopt; });
    EXPECT_TRUE(model.causes.parts_fault.empty());
    return model.settings.known;
  };
  EXPECT_EQ(load("belt_mm=420;tape=c90").belt_length_mm, 420.0);
  EXPECT_EQ(load("belt_mm=4e9"), KnownParts{});
  EXPECT_EQ(load(std::string(5000, ';')), KnownParts{});
}

TEST(PageCauses, TravelWithTheFile) {
  Snapshot made = rolling();
  ChannelSnapshot& channel = made.channel[0];
  channel.whole_flutter.scrape_rms = figure(0.3);
  channel.evidence.figures.drift = Drift{-0.2, 0.01, 200.0};
  channel.evidence.drift_s = 200.0;
  channel.evidence.dropouts_s = 60.0;
  channel.evidence.dropouts_per_minute = 5.0;
  channel.flutter_picture.peaks[1].foreign = true;
  const auto back = decode(encode(made));
  ASSERT_TRUE(back.has_value());
  const FlutterEvidence& read = back->channel[0].evidence;
  EXPECT_EQ(read.span_s, 60.0);
  EXPECT_EQ(read.dropouts_per_minute, 5.0);
  EXPECT_FALSE(read.since_jump_s.has_value());
  EXPECT_EQ(read.figures.drift->span_s, 200.0);
  EXPECT_EQ(read.figures.scrape_rms->percent, 0.3);
  EXPECT_EQ(read.reading.speed_error_percent, 0.0);
  EXPECT_TRUE(back->channel[0].flutter_picture.peaks[1].foreign);
}

TEST(PageCauses, AreSaidToTheMirror) {
  const std::string json = mirror_json(listening_to(rolling()));
  for (const char* part : {"\"verdicts\":[\"wow_beyond_usual\"]", "\"causes\":[\"pinch_roller\"", "\"causes_panel\"",
                           "Plug and batteries out: Clean", "would be a capstan of 2.0 mm"})
    EXPECT_TRUE(says(json, part)) << part;
}

}  // namespace
}  // namespace four76
