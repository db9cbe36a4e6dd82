// All text and formatting: no digit that the uncertainty does not support, a sign where there is one, a way on always.
#include "web/flutter/words.hpp"
#include "web/machine/words.hpp"
#include "web/tone/words.hpp"
#include "web/words/advice.hpp"
#include "web/words/hint.hpp"
#include "web/words/numbers.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <string>

#include "web/update.hpp"

namespace four76 {
namespace {

using words::Way;

Reading reading(double error_percent, double u95_percent) {
  Reading made;
  made.status = Status::measured;
  made.speed_error_percent = error_percent;
  made.frequency_hz = 3000.0 * (1.0 + error_percent / 100.0);
  made.u95_percent = u95_percent;
  made.trusted_s = 10.0;
  return made;
}

Model showing(const Reading& shown, Phase phase = Phase::listening) {
  Model model;
  model.phase = phase;
  model.snapshot.emplace();
  model.snapshot->channels = 1;
  model.snapshot->nominal_hz = 3000.0;
  ChannelSnapshot& channel = model.snapshot->channel[0];
  channel.dial = channel.calm = channel.whole = shown;
  return model;
}

TEST(Words, DecimalsFollowTheUncertainty) {
  EXPECT_EQ(words::supported_decimals(0.004, 3), 3);
  EXPECT_EQ(words::supported_decimals(0.02, 3), 2);
  EXPECT_EQ(words::supported_decimals(0.09, 3), 2);
  EXPECT_EQ(words::supported_decimals(0.091, 3), 1);  // rounds up to 0.1
  EXPECT_EQ(words::supported_decimals(0.3, 3), 1);
  EXPECT_EQ(words::supported_decimals(2.0, 3), 0);
  EXPECT_EQ(words::supported_decimals(0.0001, 2), 2);
  EXPECT_EQ(words::supported_decimals(std::nan(""), 2), 0);
}

TEST(Words, NumbersUseATrueMinusAndNoNegativeZero) {
  EXPECT_EQ(words::signed_fixed(1.816, 2), "+1.82");
  EXPECT_EQ(words::signed_fixed(-0.05, 2), "\u22120.05");
  EXPECT_EQ(words::signed_fixed(-0.004, 2), "0.00");
  EXPECT_EQ(words::signed_fixed(0.0, 1), "0.0");
  EXPECT_EQ(words::fixed(-21.4, 0), "\u221221");
  EXPECT_EQ(words::fixed(-0.2, 0), "0");
}

TEST(Words, UncertaintyIsRoundedUpAndNeverZero) {
  EXPECT_EQ(words::plus_minus(0.031, 2), "\u00b10.04");
  EXPECT_EQ(words::plus_minus(0.04, 2), "\u00b10.04");
  EXPECT_EQ(words::plus_minus(0.0001, 2), "\u00b10.01");
  EXPECT_EQ(words::plus_minus(0.0, 1), "\u00b10.1");
}

TEST(Words, ReadingInItsUnits) {
  const Reading shown = reading(1.816, 0.04);
  EXPECT_EQ(words::speed_error(shown), "+1.82 %");
  EXPECT_EQ(words::frequency(shown), "3054 Hz");  // 0.04 % is 1.2 Hz
  EXPECT_EQ(words::cents(shown), "+31.2 cents");  // 1200 log2(1.01816); 0.04 % is 0.7 cents
  EXPECT_EQ(words::uncertainty(shown, Unit::percent), "\u00b10.04 %");
  EXPECT_EQ(words::uncertainty(shown, Unit::cents), "\u00b10.7 cents");
  EXPECT_EQ(words::uncertainty(shown, Unit::hertz), "\u00b12 Hz");
  EXPECT_EQ(words::figure(shown, Unit::percent, 2)->number, "+1.82");
  EXPECT_EQ(words::figure(shown, Unit::cents, 2)->number, "+31");
  EXPECT_EQ(words::figure(shown, Unit::hertz, 2)->number, "3054");
}

TEST(Words, NoNumberIsNoFigure) {
  EXPECT_FALSE(words::figure(Reading{}, Unit::percent, 2).has_value());
  EXPECT_EQ(words::frequency(Reading{}), "");
  EXPECT_EQ(words::speed_error(Reading{}), "");
}

TEST(Words, HintSaysWhichWay) {
  EXPECT_EQ(words::hint(showing(reading(1.8, 0.02))).text, "Runs 1.80 % fast: slow it down");
  EXPECT_EQ(words::hint(showing(reading(1.8, 0.02))).way, Way::slower);
  EXPECT_EQ(words::hint(showing(reading(-0.74, 0.1))).text, "Runs 0.7 % slow: speed it up");
  EXPECT_EQ(words::hint(showing(reading(-0.74, 0.1))).way, Way::faster);
}

TEST(Words, HintLeavesWhatIsWithinTheTolerance) {
  EXPECT_EQ(words::hint(showing(reading(0.3, 0.1))).text, "Within 0.5 %: leave it");
  EXPECT_EQ(words::hint(showing(reading(0.3, 0.1))).way, Way::leave);
}

TEST(Words, HintDoesNotDecideWhatTheUncertaintyLeavesOpen) {
  for (const double error : {0.45, 0.55, -0.45, -0.55})
    EXPECT_EQ(words::hint(showing(reading(error, 0.1))).way, Way::wait) << error;
}

TEST(Words, HintTrustsTheCalmReadingUntilTheSpeedHasMoved) {
  Model model = showing(reading(0.7, 0.3));
  model.snapshot->channel[0].calm = reading(0.45, 0.02);
  EXPECT_EQ(words::hint(model).way, Way::leave);
  model.snapshot->channel[0].dial = reading(1.5, 0.3);  // turned meanwhile
  EXPECT_EQ(words::hint(model).way, Way::slower);
}

TEST(Words, HintForARecordingDoesNotTellToTurn) {
  Model model = showing(reading(1.8, 0.02), Phase::file_shown);
  model.figure_decimals = 3;
  EXPECT_EQ(words::hint(model).text, "Runs 1.80 % fast");
}

TEST(Words, FarOffLooksForTheCauseFirst) {
  EXPECT_NE(words::hint(showing(reading(-9.0, 0.1))).detail.find("belt"), std::string::npos);
}

TEST(Words, UnreliableSaysWhyAndWhatToDo) {
  Reading shown = reading(0.1, 0.02);
  shown.status = Status::unreliable;
  shown.reasons.add(Reason::clipping);
  const words::Hint hint = words::hint(showing(shown));
  EXPECT_EQ(hint.way, Way::distrust);
  EXPECT_NE(hint.text.find("Too loud"), std::string::npos);
  EXPECT_NE(hint.detail.find("down"), std::string::npos);
}

TEST(Words, WrongToneNamesTheOtherTape) {
  Reading shown = reading(5.02, 0.02);
  shown.status = Status::unreliable;
  shown.other_tone_hz = 3150.0;
  shown.reasons.add(Reason::too_short);
  shown.reasons.add(Reason::wrong_tone);
  const Model model = showing(shown);
  EXPECT_EQ(trust(model), Trust::doubtful);
  EXPECT_EQ(words::hint(model).way, Way::distrust);
  EXPECT_EQ(suggested_tone_hz(model), 3150.0);
  EXPECT_EQ(words::hint(model).text, "This reads like a 3150 Hz tape.");
}

TEST(Words, TwoTonesAreBothNamed) {
  Reading shown = reading(0.4, 0.02);
  shown.status = Status::unreliable;
  shown.reasons.add(Reason::competing_tone);
  shown.candidates_hz = {3012.04, 2990.5};
  const Model model = showing(shown);
  EXPECT_EQ(words::hint(model).way, Way::distrust);
  EXPECT_EQ(words::hint(model).text, "3012.0 Hz or 2990.5 Hz: which is the tape's?");
  shown.candidates_hz.reset();
  shown.status = Status::measured;
  shown.taken_out_hz = 3012.04;
  EXPECT_EQ(words::advice(Reason::competing_tone, showing(shown)).what,
            "A steady tone at 3012.0 Hz is not the tape's.");
}

TEST(Words, EveryReasonSaysWhatAndWhatToDo) {
  const Model model = showing(reading(0.1, 0.02));
  for (std::size_t i = 0; i < kReasonCount; ++i) {
    const words::Advice advice = words::advice(static_cast<Reason>(i), model);
    EXPECT_FALSE(advice.what.empty() || advice.todo.empty()) << name_of(static_cast<Reason>(i));
  }
}

TEST(Words, EveryReasonHasAdviceForARecordingToo) {
  const Model model = showing(reading(0.1, 0.02), Phase::file_shown);
  for (std::size_t i = 0; i < kReasonCount; ++i) {
    const words::Advice advice = words::advice(static_cast<Reason>(i), model);
    EXPECT_FALSE(advice.what.empty() || advice.todo.empty()) << name_of(static_cast<Reason>(i));
    EXPECT_EQ(advice.todo.find("phone"), std::string::npos) << advice.todo;  // there is none to move
  }
}

TEST(Words, VoiceProcessingSaysWhereToSwitchItOffAndWhatTheBrowserLeavesOpen) {
  Model model = showing(reading(0.1, 0.02));
  model.platform = Platform::iphone_ipad;
  EXPECT_EQ(words::advice(Reason::voice_processing, model).todo.find("While it listens, open Control Centre"), 0U);
  model.capture.emplace();
  EXPECT_EQ(words::advice(Reason::voice_processing, model).todo.find("The browser does not say whether noise"), 0U);
  model.capture->noise_suppression = browser::Processing::on;
  EXPECT_EQ(words::advice(Reason::voice_processing, model).todo.find("The browser says that noise suppression is"), 0U);
  model.capture->noise_suppression = browser::Processing::off;
  EXPECT_EQ(words::advice(Reason::voice_processing, model).todo.find("While it listens"), 0U);
}

TEST(Words, IdenticalChannelsAreOneSource) {
  Model model = showing(reading(0.1, 0.02), Phase::file_shown);
  model.snapshot->channels = 2;
  model.snapshot->channel[1] = model.snapshot->channel[0];
  model.snapshot->channels_agree = true;
  EXPECT_EQ(words::channels(model), "left is shown; both agree");
  EXPECT_TRUE(words::messages(model).empty());
  model.snapshot->channels_identical = true;
  EXPECT_EQ(words::channels(model), "left and right identical: one source");
  ASSERT_EQ(words::messages(model).size(), 1U);
  EXPECT_EQ(words::messages(model)[0].weight, words::Message::Weight::fact);
}

FlutterFigure flutter_figure(double percent, double u95) {
  FlutterFigure made;
  made.percent = percent;
  made.as_read_percent = percent;
  made.noise_percent = 0.0113;
  made.u95_percent = u95;
  return made;
}

TEST(Words, FlutterShowsTheDigitsThatTheNoiseLeaves) {
  EXPECT_EQ(words::flutter_amount(flutter_figure(0.0997, 0.0008)), "0.100 %");
  EXPECT_EQ(words::flutter_amount(flutter_figure(0.1234, 0.02)), "0.12 %");
  EXPECT_EQ(words::flutter_amount(std::nullopt), "none");
}

TEST(Words, FlutterBelowTheNoiseIsNoSmallNumber) {
  FlutterFigure hidden;
  hidden.as_read_percent = 0.0113;
  hidden.noise_percent = 0.0113;
  hidden.least_percent = 0.01121;
  hidden.below_noise = true;
  EXPECT_EQ(words::flutter_amount(hidden), "below what can be told here (under 0.012 %)");
  Model model = showing(reading(0.1, 0.02));
  model.snapshot->channel[0].flutter.weighted_two_sigma = hidden;
  EXPECT_FALSE(words::flutter_figure(model).has_value());
  EXPECT_EQ(words::flutter_state(model), "Below what can be told here");
  EXPECT_EQ(words::flutter_noise(model), "Under 0.012 %. A perfect tape would read 0.012 % in this noise.");
}

TEST(Words, FlutterSaysWhatItWaitsFor) {
  Model model = showing(reading(0.1, 0.02));
  EXPECT_EQ(words::flutter_state(model), "Listening: 5 s of tone needed");
  model.snapshot->channel[0].dial.status = Status::no_tone;
  EXPECT_EQ(words::flutter_state(model), "No tone");
  model.snapshot->channel[0].flutter.weighted_two_sigma = flutter_figure(0.11, 0.004);
  EXPECT_EQ(words::flutter_state(model), "");
  EXPECT_EQ(words::flutter_figure(model)->number, "0.110");
}

TEST(Words, DriftIsToldOnlyBeyondItsUncertainty) {
  EXPECT_EQ(words::drift_amount(Drift{-0.2, 0.03}), "\u22120.20 \u00b10.03 % a minute");
  EXPECT_EQ(words::drift_amount(Drift{0.01, 0.03}), "under 0.040 % a minute");
  EXPECT_EQ(words::drift_amount(std::nullopt), "none");
}

TEST(Words, PeaksAreNamedByRateAndPercent) {
  FlutterPeak capstan, reel;
  capstan.rate_hz = 7.58;
  capstan.peak_percent = 0.0812;
  reel.rate_hz = 0.523;
  reel.peak_percent = 0.0044;
  EXPECT_EQ(words::peak_name(capstan), "7.6 Hz, 0.08 %");
  EXPECT_EQ(words::components(std::array{capstan, reel}), "7.6 Hz, 0.08 %; 0.52 Hz, 0.004 %");
  EXPECT_EQ(words::components({}), "none");
}

TEST(Words, BothEndsOfATapeAreCompared) {
  Model model;
  EXPECT_EQ(words::measured_difference(model), "");
  model.machine.measured[1] = TapeMeasurement{3000.0, reading(0.2, 0.02), {}};
  EXPECT_EQ(words::measured_difference(model), "");
  model.machine.measured[3] = TapeMeasurement{3000.0, reading(-0.1, 0.02), {}};
  EXPECT_EQ(words::measured_difference(model),
            "At its end the tape runs 0.30 % slower than at its start, \u00b10.03 %.");
  model.machine.measured[3]->whole = reading(0.21, 0.02);
  EXPECT_EQ(words::measured_difference(model), "Both places run alike, within \u00b10.03 %.");
  model.machine.measured[3]->nominal_hz = 3150.0;  // another tape
  EXPECT_EQ(words::measured_difference(model), "");
  EXPECT_EQ(words::measured(model).size(), 2U);
}

TEST(Words, AFailureIsSaidOnce) {
  Model model;
  model.phase = Phase::failed;
  model.failure = Failure{Failure::Kind::capture, browser::CaptureFault::permission_denied, ""};
  EXPECT_EQ(words::hint(model).text, "The browser may not use the microphone.");
  EXPECT_EQ(words::hint(model).detail, "");
  EXPECT_EQ(words::messages(model)[0].text.find("may not use"), std::string::npos);
  EXPECT_EQ(words::spoken(model).find("The browser may not use the microphone. Allow it"), 0U);
}

TEST(Words, AStatedFrequencyKeepsItsDecimals) {
  EXPECT_EQ(words::hertz(3003.27), "3003.27 Hz");
  EXPECT_EQ(words::hertz(3150.0), "3150 Hz");
  EXPECT_EQ(words::hertz(9999.123456), "9999.123456 Hz");
}

TEST(Words, ARefusalNamesTheSystemsOwnSettings) {
  const Failure refused{Failure::Kind::capture, browser::CaptureFault::permission_denied, ""};
  const auto said = [&](Platform platform) { return words::advice(refused, platform).todo; };
  EXPECT_NE(said(Platform::android).find("Permissions, Microphone"), std::string::npos);
  EXPECT_NE(said(Platform::iphone_ipad).find("Privacy & Security, Microphone"), std::string::npos);
  EXPECT_EQ(said(Platform::unknown).find("forbids"), std::string::npos);
  const Failure busy{Failure::Kind::capture, browser::CaptureFault::device_busy, ""};
  EXPECT_EQ(words::advice(busy, Platform::android).todo.find("forbids"), std::string::npos);
}

// A picture that is called .wav.
TEST(Words, AFileThatIsNoWavIsNotSentToWav) {
  for (const char* name : {"tape.wav", "TAPE.WAV", "tape.flac"}) {
    Model model;
    (void)update(model, browser::Event(browser::FileStarted{name}));
    (void)update(model, browser::Event(browser::FileFailed{"It could not be read."}));
    ASSERT_TRUE(model.failure);
    const std::string todo = words::advice(*model.failure, Platform::unknown).todo;
    EXPECT_EQ(todo == "Open another one: WAV is the safest kind.", std::string(name) == "tape.flac")
        << name << ": " << todo;
  }
}

TEST(Words, EveryCaptureFaultSaysWhatAndWhatToDo) {
  for (int i = 0; i <= static_cast<int>(browser::CaptureFault::other); ++i) {
    const words::Advice advice =
        words::advice(Failure{Failure::Kind::capture, static_cast<browser::CaptureFault>(i), ""}, Platform::unknown);
    EXPECT_FALSE(advice.what.empty() || advice.todo.empty()) << i;
  }
}

TEST(Words, EveryInterruptionSaysWhatAndWhatToDo) {
  EXPECT_FALSE(words::advice(Interrupted{}).has_value());
  for (const Interrupted& interrupted :
       {Interrupted{true, false, false, false}, Interrupted{false, true, false, false},
        Interrupted{false, false, true, false}, Interrupted{false, false, false, true}}) {
    const auto advice = words::advice(interrupted);
    ASSERT_TRUE(advice.has_value());
    EXPECT_FALSE(advice->what.empty() || advice->todo.empty());
  }
}

TEST(Words, UnknownProcessingIsNeverCalledOff) {
  browser::CaptureStarted capture;
  capture.echo_cancellation = browser::Processing::off;
  EXPECT_EQ(words::processing(capture),
            "The browser says: echo cancellation off, noise suppression unknown, gain control unknown.");
}

TEST(Words, ProcessingThatStaysOnIsAWarning) {
  Model model;
  model.phase = Phase::listening;
  model.capture.emplace();
  EXPECT_TRUE(words::messages(model).empty());
  model.capture->noise_suppression = browser::Processing::on;
  ASSERT_EQ(words::messages(model).size(), 1U);
  EXPECT_EQ(words::messages(model)[0].weight, words::Message::Weight::warning);
}

TEST(Words, FailureLeadsOn) {
  Model model;
  model.phase = Phase::failed;
  model.failure = Failure{Failure::Kind::capture, browser::CaptureFault::permission_denied, "NotAllowedError"};
  ASSERT_EQ(words::messages(model).size(), 1U);
  EXPECT_EQ(words::messages(model)[0].act, "act-listen");
}

TEST(Words, SpokenReadingIsASentence) {
  EXPECT_EQ(words::spoken(showing(reading(1.816, 0.04))),
            "Runs 1.82 percent fast, plus or minus 0.05 percent. Runs 1.82 % fast: slow it down.");  // clock and all
  Reading shown;
  shown.reasons.add(Reason::too_quiet);
  EXPECT_EQ(words::spoken(showing(shown)).find("Runs"), std::string::npos);
}

TEST(Words, HumIsNamedByItsHarmonic) {
  EXPECT_EQ(words::peak_name({3000.4, -40.0, SpectrumPeak::Kind::mains_harmonic, 50.0}), "hum 50 Hz \u00d7 60");
  EXPECT_EQ(words::peak_name({3000.4, -40.0, SpectrumPeak::Kind::competing, 0.0}), "other tone");
}

TEST(Words, ToleranceSaysWhereItComesFrom) {
  EXPECT_EQ(words::tolerance_name(1.5), "1.5 %, hi-fi minimum, DIN 45500");
  EXPECT_EQ(words::tolerance_name(0.8), "0.8 %, own");
}

}  // namespace
}  // namespace four76
