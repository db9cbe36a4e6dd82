// The coach on the page: it hears the dial through snapshots, however many readings each holds, and of the person.
#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "web/mirror.hpp"
#include "web/update.hpp"
#include "web/words.hpp"

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

}  // namespace
}  // namespace four76
