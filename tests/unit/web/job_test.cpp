// The coach on the page: it hears the dial through snapshots, however many readings each holds, and of the person.
#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "web/coach/words.hpp"
#include "web/mirror.hpp"
#include "web/update.hpp"
#include "web/words/hint.hpp"

namespace four76 {
namespace {

constexpr double kEvery_s = 0.05;

bool says(const std::string& text, std::string_view part) { return text.find(part) != std::string::npos; }

// A machine whose dial reads 20 times a second and is told in clumps, as the microphone's blocks come.
class Bench {
 public:
  Bench() {
    (void)update(model, browser::Event(browser::ButtonPressed{"act-listen"}));
    browser::CaptureStarted capture;
    capture.sample_rate_hz = 48000.0;
    (void)update(model, browser::Event(capture));
  }
  void press(const char* act) { (void)update(model, browser::Event(browser::ButtonPressed{act})); }
  void turned(const char* value) { (void)update(model, browser::Event(browser::ControlChanged{"turned", value})); }

  void runs(double percent, double seconds, int clump = 3) {
    const double end_s = time_s_ + seconds;
    while (time_s_ < end_s) {
      Snapshot made;
      made.nominal_hz = 3000.0;
      made.channels = 1;
      ChannelSnapshot& channel = made.channel[0];
      for (int i = 0; i < clump; ++i) {
        time_s_ += kEvery_s;
        trail_.push_back({time_s_, Status::measured, percent + 0.02 * std::sin(8.0 * time_s_), 0.02});
      }
      channel.trail = trail_;
      channel.dial.status = Status::measured;
      channel.dial.speed_error_percent = trail_.back().speed_error_percent;
      channel.dial.u95_percent = 0.02;
      channel.dial.time_s = time_s_;
      channel.calm = channel.dial;
      channel.calm.trusted_s = 10.0;
      (void)accept_snapshot(model, made);
    }
  }

  Model model;

 private:
  double time_s_ = 0.0;
  std::vector<TrailPoint> trail_;
};

TEST(PageCoach, SaysInTheHintsPlaceWhatTheTurnGaveAndWhatIsLeft) {
  Bench bench;
  bench.runs(2.0, 6.0);
  EXPECT_TRUE(says(words::hint(bench.model).text, "slow it down"));  // nothing has been turned yet
  bench.runs(1.4, 3.0);
  const words::Hint hint = words::hint(bench.model);
  EXPECT_EQ(hint.text, "About twice as much, the same way");
  EXPECT_TRUE(says(hint.detail, "That turn gave \u22120.60 %.")) << hint.detail;
  EXPECT_EQ(hint.way, words::Way::slower);
}

TEST(PageCoach, HearsEveryReadingHoweverTheyCome) {
  for (const int clump : {1, 2, 5}) {
    Bench bench;
    bench.runs(2.0, 6.0, clump);
    bench.runs(1.4, 3.0, clump);
    ASSERT_EQ(bench.model.job.coach.turns().size(), 1u) << clump;
    EXPECT_NEAR(bench.model.job.coach.turns()[0].change_percent(), -0.6, 0.03) << clump;
  }
}

TEST(PageCoach, LeavesItToTheVerdictWhenTheToleranceIsReached) {
  Bench bench;
  bench.runs(2.0, 6.0);
  bench.runs(0.1, 6.0);
  EXPECT_EQ(words::hint(bench.model).text, "Within 0.5 %: leave it");
}

TEST(PageCoach, NoticesAScrewThatDoesNothing) {
  Bench bench;
  bench.runs(2.0, 6.0);
  bench.press("act-turned");
  bench.runs(2.0, 4.0);
  EXPECT_EQ(bench.model.job.coach.advice().kind, AdviceKind::does_nothing);
  EXPECT_TRUE(says(mirror_json(bench.model), R"("kind":"does_nothing")"));
}

TEST(PageCoach, LearnsTheWayAndKeepsItThroughAMeasurement) {
  Bench bench;
  bench.runs(2.0, 6.0);
  bench.turned("clockwise;0.25");
  bench.runs(2.6, 4.0);
  EXPECT_EQ(words::screw_text(bench.model), "Clockwise is faster; a whole turn would give 2.4 %.");
  bench.press("act-measure");  // begins anew
  EXPECT_TRUE(bench.model.job.coach.turns().empty());
  EXPECT_EQ(bench.model.job.coach.clockwise_is_faster(), true);
}

// The one before it was not told: the word is not taken for that one.
TEST(PageCoach, AWordThatComesWhileTheSpeedMovesIsOfTheTurnThatIsUnderWay) {
  Bench bench;
  bench.runs(2.0, 6.0);
  bench.runs(1.4, 4.0);  // told of by nobody
  bench.runs(2.6, 0.6);
  ASSERT_EQ(bench.model.job.coach.advice().kind, AdviceKind::moving);
  bench.turned("clockwise");
  bench.runs(2.6, 4.0);
  EXPECT_EQ(bench.model.job.coach.clockwise_is_faster(), true);
  EXPECT_NE(bench.model.job.coach.advice().kind, AdviceKind::does_nothing);
}

TEST(PageCoach, TakesNoWordThatItDoesNotKnow) {
  Bench bench;
  bench.runs(2.0, 6.0);
  bench.turned("sideways");
  bench.runs(2.0, 4.0);
  EXPECT_NE(bench.model.job.coach.advice().kind, AdviceKind::does_nothing);
}

TEST(PageCoach, KnowsTheScrewOfAMachineFromItsCard) {
  Bench bench;
  (void)update(bench.model, browser::Event(browser::ControlChanged{"clockwise", "slower"}));
  EXPECT_EQ(bench.model.job.coach.clockwise_is_faster(), false);
  EXPECT_NE(mirror_json(bench.model).find("\"clockwise\":\"slower\""), std::string::npos);
  (void)update(bench.model, browser::Event(browser::ControlChanged{"clockwise", "sideways"}));
  EXPECT_EQ(bench.model.job.coach.clockwise_is_faster(), false);
  bench.press("act-stop");
  EXPECT_EQ(bench.model.job.coach.clockwise_is_faster(), false);
  (void)update(bench.model, browser::Event(browser::ControlChanged{"clockwise", ""}));
  EXPECT_EQ(bench.model.job.coach.clockwise_is_faster(), std::nullopt);
}

// ---- The long watch
// ---------------------------------------------------------------------------------------------------

// A reading every second, as told by the device's clock.
class Watched {
 public:
  Watched() {
    (void)update(model, browser::Event(browser::ButtonPressed{"act-listen"}));
    browser::CaptureStarted capture;
    capture.sample_rate_hz = 48000.0;
    (void)update(model, browser::Event(capture));
  }
  template <class Percent>
  void plays(double seconds, Percent&& percent_at) {
    for (const double end_s = now_s + seconds; now_s < end_s;) {
      Snapshot made;
      made.nominal_hz = 3000.0;
      made.channels = 1;
      for (int i = 0; i < 20; ++i) {
        now_s += kEvery_s;
        session_s += kEvery_s;
        made.channel[0].trail.push_back({session_s, Status::measured, percent_at(now_s), 0.02});
      }
      made.channel[0].dial.status = Status::measured;
      made.channel[0].dial.speed_error_percent = percent_at(now_s);
      made.channel[0].dial.u95_percent = 0.02;
      made.heard_at_s = now_s;
      (void)accept_snapshot(model, made);
    }
  }
  Model model;
  double now_s = 500.0, session_s = 0.0;  // a device has been on for a while
};

// The demo's machine has a screw of its own: what is learned of it is not written onto anybody's card.
TEST(PageCoach, WhatItLearnsOfTheDemosScrewEndsWithTheDemo) {
  for (const char* known : {"", "slower"}) {
    Bench bench;
    (void)update(bench.model, browser::Event(browser::ControlChanged{"clockwise", known}));
    const auto before = bench.model.job.coach.clockwise_is_faster();
    bench.press("act-demo");
    EXPECT_EQ(bench.model.job.coach.clockwise_is_faster(), std::optional(true)) << known;  // the demo says so itself
    bench.runs(-2.0, 8.0);
    bench.turned("clockwise");
    bench.runs(-1.0, 8.0);
    EXPECT_EQ(bench.model.job.coach.clockwise_is_faster(), std::optional(true)) << known;
    bench.press("act-stop");
    EXPECT_EQ(bench.model.job.coach.clockwise_is_faster(), before) << known;
  }
}

TEST(PageCoach, ACardThatIsChosenDuringTheDemoCountsAfterIt) {
  Bench bench;
  bench.press("act-demo");
  (void)update(bench.model, browser::Event(browser::ControlChanged{"clockwise", "slower"}));
  EXPECT_EQ(bench.model.job.coach.clockwise_is_faster(), std::optional(true));  // of the demo's screw
  bench.press("act-stop");
  EXPECT_EQ(bench.model.job.coach.clockwise_is_faster(), std::optional(false));
}

TEST(PageWatch, SaysThatASagIsNoTrimmersBusiness) {
  Watched watched;
  EXPECT_EQ(words::watch_says(watched.model).large, "Three minutes tell something, a whole side tells all");
  watched.plays(400.0, [](double at_s) { return -0.002 * (at_s - 500.0); });
  const words::WatchWords said = words::watch_says(watched.model);
  EXPECT_EQ(said.large.find("It sags by 0.8"), 0u) << said.large;
  EXPECT_TRUE(said.gaps.empty());
  EXPECT_EQ(mirror_json(watched.model).find("\"course\":[["), std::string::npos);  // nobody looks
  (void)update(watched.model, browser::Event(browser::ControlChanged{"watch", "open"}));
  EXPECT_NE(mirror_json(watched.model).find("\"course\":[["), std::string::npos);
}

TEST(PageWatch, AHiddenPageLeavesAGapThatIsSaid) {
  Watched watched;
  watched.plays(60.0, [](double) { return 0.1; });
  (void)update(watched.model, browser::Event(browser::CaptureInterrupted{browser::Interruption::hidden}));
  watched.now_s += 95.0;  // no samples: the session's time stands
  (void)update(watched.model, browser::Event(browser::CaptureInterrupted{browser::Interruption::visible}));
  watched.plays(120.0, [](double) { return 0.1; });
  const words::WatchWords said = words::watch_says(watched.model);
  ASSERT_EQ(said.gaps.size(), 1u);
  EXPECT_EQ(said.gaps[0], "1:00 to 2:35: the page was hidden or the screen locked");
}

TEST(PageWatch, GoesOnThroughAMeasurementAndEndsWithWhatRuns) {
  Watched watched;
  watched.plays(60.0, [](double) { return 0.1; });
  (void)update(watched.model, browser::Event(browser::ButtonPressed{"act-measure"}));
  watched.session_s = 0.0;
  watched.plays(60.0, [](double) { return 0.1; });
  EXPECT_NEAR(watched.model.job.watch.passed_s(), 120.0, 2.0);  // each clump is a second
  (void)update(watched.model, browser::Event(browser::ButtonPressed{"act-stop"}));
  EXPECT_EQ(watched.model.job.watch.passed_s(), 0.0);
  EXPECT_EQ(words::watch_says(watched.model).large, "Not watching");
}

}  // namespace
}  // namespace four76
