// The check of the device's clock as the page leads through it, and what is kept of it.
#include <gtest/gtest.h>

#include <map>
#include <string>
#include <variant>

#include "web/budget/budget.hpp"
#include "web/budget/words.hpp"
#include "web/clock/words.hpp"
#include "web/mirror.hpp"
#include "web/update.hpp"
#include "web/words/advice.hpp"
#include "web/words/hint.hpp"

namespace four76 {
namespace {

template <class Wanted>
const Wanted* find(const Effects& effects) {
  for (const Effect& effect : effects)
    if (const auto* found = std::get_if<Wanted>(&effect)) return found;
  return nullptr;
}

Effects press(Model& model, const char* act) { return update(model, browser::Event(browser::ButtonPressed{act})); }
Effects control(Model& model, const char* name, const std::string& value) {
  return update(model, browser::Event(browser::ControlChanged{name, value}));
}

browser::CaptureStarted capture(double rate_hz = 48000.0, const char* input = "Line in") {
  browser::CaptureStarted started;
  started.sample_rate_hz = rate_hz;
  started.channels = 1;
  started.device_label = input;
  return started;
}

Reading heard(double hz, double known_hz, double seconds, double u95_percent = 0.0001) {
  Reading made;
  made.status = Status::measured;
  made.frequency_hz = hz;
  made.speed_error_percent = 100.0 * (hz / known_hz - 1.0);
  made.u95_percent = u95_percent;
  made.trusted_s = seconds;
  return made;
}

Snapshot snapshot(const Reading& reading, double known_hz, double time_s) {
  Snapshot made;
  made.nominal_hz = known_hz;
  made.sample_rate_hz = 48000.0;
  made.channels = 1;
  made.time_s = time_s;
  made.channel[0].dial = made.channel[0].calm = made.channel[0].whole = reading;
  return made;
}

Effects take(Model& model, Snapshot made) { return accept_snapshot(model, made); }

Model checking(const char* wanted = "1000;4") {
  Model model;
  control(model, "check-clock", wanted);
  update(model, browser::Event(capture()));
  return model;
}

// Checked and kept: the clock of "Line in" at 48 kHz runs 34 ppm fast.
Model checked() {
  Model model = checking();
  take(model, snapshot(heard(1000.0 / 1.000034, 1000.0, 21.0), 1000.0, 23.0));
  control(model, "keep-clock", "2026-11-25");
  press(model, "act-close-clock");
  return model;
}

TEST(ClockCheck, ListensAtTheStatedRateForTheSourcesTone) {
  Model model;
  EXPECT_NE(find<effect::StartCapture>(control(model, "check-clock", "440.5;0.1")), nullptr);
  EXPECT_EQ(model.phase, Phase::asking);
  const Effects effects = update(model, browser::Event(capture()));
  ASSERT_NE(find<effect::OpenSession>(effects), nullptr);
  EXPECT_EQ(find<effect::OpenSession>(effects)->config.nominal_hz, 440.5);
  EXPECT_EQ(find<effect::OpenSession>(effects)->config.sample_rate_hz, 48000.0);
  EXPECT_EQ(model.settings, Settings{});  // the tape's tone is another matter
}

TEST(ClockCheck, TakesNoNonsense) {
  Model model;
  for (const char* bad : {"", "1000", ";", "99;1", "10001;1", "1000;-1", "1000;100.1", "nan;1", "1000;inf", "1;2;3"}) {
    EXPECT_TRUE(control(model, "check-clock", bad).empty()) << bad;
    EXPECT_FALSE(model.clock.check.has_value()) << bad;
  }
}

TEST(ClockCheck, SaysHowItStandsWhileItListens) {
  Model model = checking();
  EXPECT_NE(words::clock_said(model).find("No tone of 1000 Hz yet"), std::string::npos);
  EXPECT_TRUE(take(model, snapshot(heard(999.966, 1000.0, 12.0, 0.0006), 1000.0, 13.0)).empty());
  EXPECT_EQ(words::clock_said(model), "12 of 20 s heard; so far 34 \u00b1 8 ppm fast.");
  EXPECT_TRUE(checks_clock(model));
  EXPECT_FALSE(budget(model).has_value());
  EXPECT_EQ(words::hint(model).text, "Checking this device's clock");
  EXPECT_NE(mirror_json(model).find("\"progress\":0.6000"), std::string::npos);
}

TEST(ClockCheck, EndsByItselfAndWaitsToBeKept) {
  Model model = checking();
  const Effects effects = take(model, snapshot(heard(999.966, 1000.0, 20.5, 0.0004), 1000.0, 22.0));
  EXPECT_NE(find<effect::StopCapture>(effects), nullptr);
  EXPECT_EQ(model.phase, Phase::idle);
  ASSERT_TRUE(model.clock.check.has_value());
  EXPECT_EQ(model.clock.check->stage, ClockCheck::Stage::found);
  EXPECT_EQ(words::clock_said(model), "This device's clock runs 34 \u00b1 6 ppm fast.");
  EXPECT_TRUE(model.clock.kept.empty());
  const Effects kept = control(model, "keep-clock", "2026-11-25");
  ASSERT_NE(find<effect::Store>(kept), nullptr);
  EXPECT_EQ(find<effect::Store>(kept)->key, "clocks");
  ASSERT_EQ(model.clock.kept.size(), 1u);
  const auto back = read_clocks(find<effect::Store>(kept)->value);
  ASSERT_TRUE(back && back->size() == 1u);
  EXPECT_NEAR(back->front().correction.fast_ppm, model.clock.kept[0].correction.fast_ppm, 1e-6);
  EXPECT_EQ(words::kept_clock(model.clock.kept[0]),
            "Line in at 48 kHz: runs 34 \u00b1 6 ppm fast, checked 2026-11-25.");
}

TEST(ClockCheck, ASlowClockIsSaidToBeSlow) {
  EXPECT_EQ(words::clock_runs({-34.26, 0.45}), "34.3 \u00b1 0.5 ppm slow");
  EXPECT_EQ(words::clock_runs({-34.26, 5.2}), "34 \u00b1 6 ppm slow");
}

TEST(ClockCheck, RefusesAndSaysWhatToDo) {
  {
    Model model = checking();
    take(model, snapshot(heard(1003.0, 1000.0, 6.0), 1000.0, 7.0));  // at once: no need to hear it all
    ASSERT_TRUE(model.clock.check && model.clock.check->fault);
    EXPECT_EQ(*model.clock.check->fault, ClockFault::no_clock);
    EXPECT_NE(words::clock_said(model).find("Another frequency was played"), std::string::npos);
    EXPECT_TRUE(control(model, "keep-clock", "2026-11-25").empty());
  }
  {
    Model model = checking();
    Reading none;
    none.reasons.add(Reason::no_tone);
    EXPECT_TRUE(take(model, snapshot(none, 1000.0, 59.0)).empty());
    take(model, snapshot(none, 1000.0, 60.0));
    EXPECT_EQ(model.clock.check->stage, ClockCheck::Stage::refused);
    EXPECT_NE(words::clock_said(model).find("No tone of 1000 Hz was heard."), std::string::npos);
  }
  {
    Model model = checking();
    take(model, snapshot(heard(1000.0, 1000.0, 50.0, 0.02), 1000.0, 61.0));
    EXPECT_EQ(*model.clock.check->fault, ClockFault::too_uncertain);
    EXPECT_NE(words::clock_said(model).find("no better than the 100 ppm"), std::string::npos);
  }
}

TEST(ClockCheck, EveryFaultSaysWhatAndWhatToDo) {
  for (const ClockFault fault :
       {ClockFault::not_measured, ClockFault::too_short, ClockFault::no_clock, ClockFault::too_uncertain}) {
    const words::Advice advice = words::advice(fault, Model{});
    EXPECT_FALSE(advice.what.empty() || advice.todo.empty());
  }
}

TEST(ClockCheck, AMicrophoneThatFailsEndsItInWords) {
  Model model;
  control(model, "check-clock", "1000;1");
  update(model, browser::Event(browser::CaptureFailed{browser::CaptureFault::permission_denied, ""}));
  EXPECT_EQ(model.phase, Phase::failed);
  EXPECT_EQ(model.clock.check->stage, ClockCheck::Stage::refused);
  EXPECT_NE(words::clock_said(model).find("may not use the microphone"), std::string::npos);
}

TEST(ClockCheck, ClosingTheDialogStopsIt) {
  Model model = checking();
  EXPECT_NE(find<effect::StopCapture>(press(model, "act-close-clock")), nullptr);
  EXPECT_EQ(model.phase, Phase::idle);
  EXPECT_FALSE(model.clock.check.has_value());
}

TEST(ClockCheck, WhatIsKeptGivesTheSessionItsTrueRate) {
  Model model = checked();
  press(model, "act-listen");
  const Effects effects = update(model, browser::Event(capture()));
  ASSERT_NE(find<effect::OpenSession>(effects), nullptr);
  EXPECT_NEAR(find<effect::OpenSession>(effects)->config.sample_rate_hz, 48000.0 * 1.000034, 1e-6);
  // Another input, another rate: not this clock.
  for (const auto& other : {capture(48000.0, "Microphone"), capture(44100.0)}) {
    press(model, "act-listen");
    press(model, "act-stop");
    press(model, "act-listen");
    const Effects plain = update(model, browser::Event(other));
    EXPECT_EQ(find<effect::OpenSession>(plain)->config.sample_rate_hz, other.sample_rate_hz);
  }
}

TEST(ClockCheck, ACheckItselfIsNeverCorrected) {
  Model model = checked();
  control(model, "check-clock", "1000;1");
  EXPECT_EQ(find<effect::OpenSession>(update(model, browser::Event(capture())))->config.sample_rate_hz, 48000.0);
}

TEST(ClockCheck, ForgettingOpensThePlainSessionAgain) {
  Model model = checked();
  press(model, "act-listen");
  update(model, browser::Event(capture()));
  EXPECT_TRUE(control(model, "forget-clock", "1").empty());
  const Effects effects = control(model, "forget-clock", "0");
  EXPECT_TRUE(model.clock.kept.empty());
  EXPECT_EQ(find<effect::Store>(effects)->value, "");
  EXPECT_EQ(find<effect::OpenSession>(effects)->config.sample_rate_hz, 48000.0);
}

TEST(ClockCheck, AtTheEndOfTheRatesThereIsNoRoomForACorrection) {
  Model model;
  ASSERT_TRUE(keep_clock(model.clock.kept, {192000.0, "Line in", {50.0, 5.0}, "2026-11-25"}));
  press(model, "act-listen");
  const Effects effects = update(model, browser::Event(capture(192000.0)));
  ASSERT_EQ(model.phase, Phase::listening);
  EXPECT_EQ(clock_in_use(model) != nullptr, find<effect::OpenSession>(effects)->config.sample_rate_hz != 192000.0);
}

TEST(ClockCheck, WhatIsDamagedIsSetAsideAndSaid) {
  for (const char* bad : {"x", "four76-clocks 1\n48000 nan 6.1 2026-11-25 mic\n", "{\"a\":1}"}) {
    Model model;
    restore_settings(
        model, [&](std::string_view key) { return key == "clocks" ? std::optional<std::string>(bad) : std::nullopt; });
    EXPECT_TRUE(model.clock.kept.empty());
    ASSERT_EQ(words::messages(model).size(), 1u);
    EXPECT_EQ(words::messages(model)[0].act, "act-forget-clocks");
    EXPECT_EQ(find<effect::Store>(press(model, "act-forget-clocks"))->value, "");
    EXPECT_TRUE(words::messages(model).empty());
  }
}

TEST(ClockCheck, StorageThatIsRefusedIsSaid) {
  Model model = checking();
  take(model, snapshot(heard(999.966, 1000.0, 20.5), 1000.0, 22.0));
  control(model, "keep-clock", "2026-11-25");
  update(model, browser::Event(browser::StorageRefused{}));
  EXPECT_NE(words::clock_said(model).find("until the page is closed"), std::string::npos);
  EXPECT_EQ(model.clock.kept.size(), 1u);
}

TEST(Budget, ThisDevicesClockCountsOnlyForWhatItHears) {
  Model model = checked();
  press(model, "act-listen");
  update(model, browser::Event(capture()));
  take(model, snapshot(heard(3003.0, 3000.0, 10.0), 3000.0, 12.0));
  ASSERT_TRUE(budget(model).has_value());
  EXPECT_EQ(budget(model)->clock, Budget::Clock::checked);
  EXPECT_NEAR(*budget(model)->terms.clock_percent, 4.2e-4, 3e-5);  // 4 ppm of the source and 1 ppm of the reading

  update(model, browser::Event(browser::FileStarted{"a.wav"}));
  update(model, browser::Event(browser::FileMeasured{encode(snapshot(heard(3003.0, 3000.0, 10.0), 3000.0, 12.0))}));
  ASSERT_EQ(model.phase, Phase::file_shown);
  EXPECT_EQ(budget(model)->clock, Budget::Clock::recorder);
  EXPECT_NEAR(*budget(model)->terms.clock_percent, 0.01, 1e-4);

  press(model, "act-demo");
  take(model, snapshot(heard(3003.0, 3000.0, 10.0), 3000.0, 12.0));
  EXPECT_EQ(budget(model)->clock, Budget::Clock::none);
  EXPECT_FALSE(budget(model)->terms.clock_percent || budget(model)->terms.tape_percent);
}

TEST(Budget, SaysWhatIsNotInTheSum) {
  Model model;
  press(model, "act-listen");
  update(model, browser::Event(capture()));
  EXPECT_TRUE(words::budget_terms(model).empty());
  take(model, snapshot(heard(3003.0, 3000.0, 10.0), 3000.0, 12.0));
  ASSERT_EQ(words::budget_terms(model).size(), 4u);
  EXPECT_EQ(words::budget_terms(model)[2].amount, "\u00b10.0101 %");  // 100 ppm of a tape that runs 0.1 % fast, upwards
  EXPECT_EQ(words::budget_terms(model)[3].amount, "not known");
  EXPECT_EQ(words::budget_sum(model).name, "Total, without the tape's error");
  control(model, "tape-tolerance", "0.2");
  EXPECT_EQ(words::budget_terms(model)[3].amount, "\u00b10.201 %");
  EXPECT_EQ(words::budget_sum(model).name, "Total");
  const std::string json = mirror_json(model);
  EXPECT_NE(json.find("\"tape_percent\":0.2002"), std::string::npos) << json.substr(0, 200);
}

TEST(Budget, TheVerdictCountsAllThatMayBeOff) {
  Model model;
  press(model, "act-listen");
  update(model, browser::Event(capture()));
  take(model, snapshot(heard(3000.0 * 1.004, 3000.0, 10.0), 3000.0, 12.0));
  EXPECT_EQ(words::hint(model).way, words::Way::leave);
  control(model, "tape-tolerance", "0.2");
  EXPECT_EQ(words::hint(model).way, words::Way::wait);
  EXPECT_NE(words::hint(model).detail.find("tape"), std::string::npos);
}

TEST(TapeTolerance, IsKeptAndGoesWithItsTape) {
  Model model;
  const Effects stored = control(model, "tape-tolerance", "0.02");
  EXPECT_EQ(find<effect::Store>(stored)->value, "0.02");
  EXPECT_EQ(model.settings.tape_tolerance_percent, 0.02);
  control(model, "tone", "3003.27");
  EXPECT_EQ(model.settings.nominal_hz, 3003.27);
  EXPECT_FALSE(model.settings.tape_tolerance_percent.has_value());
  EXPECT_NE(mirror_json(model).find("3003.27 Hz"), std::string::npos);
  for (const char* bad : {"0", "-1", "5.1", "nan", "x"}) control(model, "tape-tolerance", bad);
  EXPECT_FALSE(model.settings.tape_tolerance_percent.has_value());
  const Effects asked = control(model, "tape-tolerance", "own");
  ASSERT_NE(find<effect::AskNumber>(asked), nullptr);
  update(model, browser::Event(browser::NumberEntered{"tape-tolerance", 0.015}));
  EXPECT_EQ(model.settings.tape_tolerance_percent, 0.015);
  control(model, "tape-tolerance", "");
  EXPECT_FALSE(model.settings.tape_tolerance_percent.has_value());
}

TEST(TapeTolerance, ComesBackWithItsTone) {
  const std::map<std::string, std::string, std::less<>> kept = {{"tone", "3003.27"}, {"tape-tolerance", "0.02"}};
  Model model;
  restore_settings(model, [&](std::string_view key) {
    const auto found = kept.find(key);
    return found == kept.end() ? std::nullopt : std::optional(found->second);
  });
  EXPECT_EQ(model.settings.nominal_hz, 3003.27);
  EXPECT_EQ(model.settings.tape_tolerance_percent, 0.02);
}

TEST(TapeTolerance, ComesWithALink) {
  Model model;
  update(model, browser::Event(browser::FragmentOpened{"v1.tapetol=0.02&tone=3003.27"}));
  EXPECT_EQ(model.settings.nominal_hz, 3003.27);
  EXPECT_EQ(model.settings.tape_tolerance_percent, 0.02);
}

}  // namespace
}  // namespace four76
