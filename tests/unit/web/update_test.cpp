// update(): model + intent or event -> model + effects, without a browser.
#include "web/update.hpp"

#include <gtest/gtest.h>

#include <map>
#include <string>
#include <utility>
#include <variant>

#include "web/machine/words.hpp"
#include "web/mirror.hpp"
#include "web/words/hint.hpp"

namespace four76 {
namespace {

template <class Wanted>
const Wanted* find(const Effects& effects) {
  for (const Effect& effect : effects)
    if (const auto* found = std::get_if<Wanted>(&effect)) return found;
  return nullptr;
}
template <class Wanted>
bool has(const Effects& effects) {
  return find<Wanted>(effects) != nullptr;
}

Effects press(Model& model, const char* act) { return update(model, browser::Event(browser::ButtonPressed{act})); }
Effects control(Model& model, const char* name, const char* value) {
  return update(model, browser::Event(browser::ControlChanged{name, value}));
}
Effects interrupt(Model& model, browser::Interruption what) {
  return update(model, browser::Event(browser::CaptureInterrupted{what}));
}

browser::CaptureStarted capture(double rate_hz = 48000.0, int channels = 2) {
  browser::CaptureStarted started;
  started.sample_rate_hz = rate_hz;
  started.channels = channels;
  return started;
}

Model listening() {
  Model model;
  press(model, "act-listen");
  update(model, browser::Event(capture()));
  return model;
}

Reading reading(double error_percent, double u95_percent, Status status = Status::measured) {
  Reading made;
  made.status = status;
  made.speed_error_percent = error_percent;
  made.frequency_hz = 3000.0 * (1.0 + error_percent / 100.0);
  made.u95_percent = u95_percent;
  return made;
}

Snapshot snapshot(double error_percent, double u95_percent, int channels = 1) {
  Snapshot made;
  made.nominal_hz = 3000.0;
  made.sample_rate_hz = 48000.0;
  made.channels = channels;
  for (ChannelSnapshot& channel : made.channel) {
    channel.dial = channel.calm = channel.whole = reading(error_percent, u95_percent);
  }
  return made;
}

void take(Model& model, Snapshot made) { accept_snapshot(model, made); }

TEST(Update, ListenAsksForTheChosenDevice) {
  Model model;
  model.settings.device_id = "cable";
  const Effects effects = press(model, "act-listen");
  EXPECT_EQ(model.phase, Phase::asking);
  ASSERT_TRUE(has<effect::StartCapture>(effects));
  EXPECT_EQ(find<effect::StartCapture>(effects)->device_id, "cable");
}

TEST(Update, ListenWhileListeningChangesNothing) {
  Model model = listening();
  EXPECT_TRUE(press(model, "act-listen").empty());
  EXPECT_EQ(model.phase, Phase::listening);
}

TEST(Update, StartedCaptureOpensASessionThatDropsTheFirstSecond) {
  Model model;
  press(model, "act-listen");
  const Effects effects = update(model, browser::Event(capture(44100.0, 2)));
  EXPECT_EQ(model.phase, Phase::listening);
  ASSERT_TRUE(has<effect::OpenSession>(effects));
  const ToneSession::Config& config = find<effect::OpenSession>(effects)->config;
  EXPECT_EQ(config.sample_rate_hz, 44100.0);
  EXPECT_EQ(config.channels, 2);
  EXPECT_EQ(config.discard_s, 1.0);
  EXPECT_TRUE(config.live_capture);
  EXPECT_TRUE(has<effect::ListDevices>(effects));
  EXPECT_TRUE(has<effect::KeepAwake>(effects));
}

TEST(Update, CaptureThatStartsAfterStopIsStopped) {
  Model model;
  press(model, "act-listen");
  press(model, "act-stop");
  const Effects effects = update(model, browser::Event(capture()));
  EXPECT_TRUE(has<effect::StopCapture>(effects));
  EXPECT_EQ(model.phase, Phase::idle);
}

TEST(Update, RateThatCannotCarryTheToneFailsInWords) {
  Model model;
  control(model, "tone", "10000");
  press(model, "act-listen");
  const Effects effects = update(model, browser::Event(capture(22050.0, 1)));
  EXPECT_EQ(model.phase, Phase::failed);
  EXPECT_FALSE(has<effect::OpenSession>(effects));
  EXPECT_TRUE(has<effect::StopCapture>(effects));
  ASSERT_TRUE(model.failure.has_value());
  EXPECT_FALSE(model.failure->detail.empty());
}

TEST(Update, MicrophoneForSpeechIsRefusedAtWhateverRateItsSoundComes) {
  for (const auto& [context_hz, device_hz] : {std::pair{48000.0, 8000.0}, {48000.0, 16000.0}, {16000.0, 0.0}}) {
    Model model;
    press(model, "act-listen");
    browser::CaptureStarted narrow = capture(context_hz, 1);
    narrow.device_rate_hz = device_hz;
    const Effects effects = update(model, browser::Event(narrow));
    EXPECT_EQ(model.phase, Phase::failed);
    EXPECT_FALSE(has<effect::OpenSession>(effects));
    EXPECT_TRUE(has<effect::StopCapture>(effects));
    EXPECT_TRUE(has<effect::ListDevices>(effects));  // another one can be chosen
    EXPECT_NE(mirror_json(model).find("narrow_capture"), std::string::npos);
    EXPECT_TRUE(can_listen(model));
  }
  Model model;
  press(model, "act-listen");
  browser::CaptureStarted wide = capture();
  wide.device_rate_hz = 44100.0;
  update(model, browser::Event(wide));
  EXPECT_EQ(model.phase, Phase::listening);
}

// What stays on show: held_test.cpp.
TEST(Update, StopLetsGoOfTheMicrophone) {
  Model model = listening();
  take(model, snapshot(1.0, 0.1));
  const Effects effects = press(model, "act-stop");
  EXPECT_FALSE(is_live(model));
  EXPECT_TRUE(has<effect::StopCapture>(effects));
  EXPECT_TRUE(has<effect::CloseSession>(effects));
  ASSERT_TRUE(has<effect::KeepAwake>(effects));
  EXPECT_FALSE(find<effect::KeepAwake>(effects)->on);
}

TEST(Update, EveryCaptureFaultLeavesAWayOn) {
  for (int i = 0; i <= static_cast<int>(browser::CaptureFault::other); ++i) {
    Model model;
    press(model, "act-listen");
    update(model, browser::Event(browser::CaptureFailed{static_cast<browser::CaptureFault>(i), "X"}));
    EXPECT_EQ(model.phase, Phase::failed);
    EXPECT_TRUE(can_listen(model) && can_demo(model) && can_open_file(model));
    EXPECT_TRUE(has<effect::StartCapture>(press(model, "act-listen")));
    EXPECT_FALSE(model.failure.has_value());
  }
}

TEST(Update, DeviceThatEndsFailsAndIsLetGo) {
  Model model = listening();
  const Effects effects = interrupt(model, browser::Interruption::device_ended);
  EXPECT_EQ(model.phase, Phase::failed);
  EXPECT_TRUE(has<effect::StopCapture>(effects));
  EXPECT_TRUE(has<effect::CloseSession>(effects));
}

TEST(Update, AnInterruptedReadingIsNeverAGoodOne) {
  using browser::Interruption;
  for (const auto& [begin, end] : {std::pair{Interruption::muted, Interruption::unmuted},
                                   std::pair{Interruption::suspended, Interruption::resumed},
                                   std::pair{Interruption::hidden, Interruption::visible}}) {
    Model model = listening();
    take(model, snapshot(0.1, 0.02));
    EXPECT_EQ(trust(model), Trust::good);
    interrupt(model, begin);
    EXPECT_EQ(trust(model), Trust::doubtful);
    interrupt(model, end);
    EXPECT_EQ(trust(model), Trust::good);
  }
}

TEST(Update, InputThatStallsIsNeverAGoodOne) {
  Model model = listening();
  take(model, snapshot(0.1, 0.02));
  update(model, Intent(intent::InputStalled{true}));
  EXPECT_EQ(trust(model), Trust::doubtful);
}

TEST(Update, WakeLockIsAskedForAgainWhenThePageComesBack) {
  Model model = listening();
  interrupt(model, browser::Interruption::hidden);
  const Effects effects = interrupt(model, browser::Interruption::visible);
  ASSERT_TRUE(has<effect::KeepAwake>(effects));
  EXPECT_TRUE(find<effect::KeepAwake>(effects)->on);
}

TEST(Update, AnotherToneForgetsTheReadingAndOpensANewSession) {
  Model model = listening();
  take(model, snapshot(5.0, 0.02));
  const Effects effects = control(model, "tone", "3150");
  EXPECT_FALSE(model.snapshot.has_value());
  ASSERT_TRUE(has<effect::OpenSession>(effects));
  EXPECT_EQ(find<effect::OpenSession>(effects)->config.nominal_hz, 3150.0);
  EXPECT_EQ(find<effect::OpenSession>(effects)->config.discard_s, 0.0);
  ASSERT_TRUE(has<effect::Store>(effects));
  take(model, snapshot(5.0, 0.02));  // one that was on its way, against the old tone
  EXPECT_FALSE(model.snapshot.has_value());
}

TEST(Update, ToneOutsideTheRangeIsNotTaken) {
  Model model;
  for (const char* value : {"99", "10001", "nan", "inf", "3000 Hz", "", "-3000"}) control(model, "tone", value);
  EXPECT_EQ(model.settings, Settings{});
}

TEST(Update, OwnValuesAreAskedFor) {
  Model model;
  const Effects effects = control(model, "tone", "own");
  ASSERT_TRUE(has<effect::AskNumber>(effects));
  const std::string question(find<effect::AskNumber>(effects)->question);
  update(model, browser::Event(browser::NumberEntered{question, 2987.5}));
  EXPECT_EQ(model.settings.nominal_hz, 2987.5);
  update(model, browser::Event(browser::NumberEntered{question, std::nullopt}));
  EXPECT_EQ(model.settings.nominal_hz, 2987.5);
  const Effects tolerance = control(model, "tolerance", "own");
  ASSERT_TRUE(has<effect::AskNumber>(tolerance));
  update(model, browser::Event(browser::NumberEntered{std::string(find<effect::AskNumber>(tolerance)->question), 0.8}));
  EXPECT_EQ(model.settings.tolerance_percent, 0.8);
}

TEST(Update, UnitsGoRound) {
  Model model;
  for (const Unit unit : {Unit::cents, Unit::hertz, Unit::percent}) {
    EXPECT_TRUE(has<effect::Store>(update(model, Intent(intent::NextUnit{}))));
    EXPECT_EQ(model.settings.unit, unit);
  }
}

TEST(Update, AnotherDeviceWhileListeningStartsAnew) {
  Model model = listening();
  const Effects effects = control(model, "device", "usb");
  EXPECT_EQ(model.phase, Phase::asking);
  EXPECT_TRUE(has<effect::StopCapture>(effects));
  ASSERT_TRUE(has<effect::StartCapture>(effects));
  EXPECT_EQ(find<effect::StartCapture>(effects)->device_id, "usb");
}

TEST(Update, DemoPlaysATapeWhoseScrewCanBeTurned) {
  Model model;
  const Effects effects = press(model, "act-demo");
  EXPECT_EQ(model.phase, Phase::demo);
  EXPECT_TRUE(has<effect::OpenSession>(effects));
  ASSERT_TRUE(has<effect::StartTape>(effects));
  EXPECT_EQ(find<effect::StartTape>(effects)->config.trim_percent, kTrimFirstPercent);
  const Effects turned = update(model, Intent(intent::TurnTrimmer{-0.3}));
  ASSERT_TRUE(has<effect::TurnTape>(turned));
  EXPECT_DOUBLE_EQ(find<effect::TurnTape>(turned)->percent, kTrimFirstPercent - 0.3);
  update(model, Intent(intent::TurnTrimmer{1000.0}));
  EXPECT_EQ(model.job.trim_percent, kTrimLimitPercent);
}

// The Worker's last word may come after the person has pressed something else.
TEST(Update, AFileThatFailsLateEndsNothingElse) {
  Model model = listening();
  EXPECT_TRUE(update(model, browser::Event(browser::FileFailed{"tape.wav: it is empty."})).empty());
  EXPECT_EQ(model.phase, Phase::listening);
  press(model, "act-stop");
  update(model, browser::Event(browser::FileStarted{"tape.wav"}));
  update(model, browser::Event(browser::FileFailed{"tape.wav: it is empty."}));
  EXPECT_EQ(model.phase, Phase::failed);
}

TEST(Update, ThatTheScreenMayGoDarkIsSaidWhileListening) {
  Model model = listening();
  const std::string before = words::status_line(model);
  control(model, "screen", "dark");
  EXPECT_EQ(words::status_line(model), "Listening; the screen may go dark, 48 kHz, one channel");
  press(model, "act-stop");
  EXPECT_EQ(words::status_line(model), words::status_line(Model{}));
  control(model, "screen", "on");
  press(model, "act-listen");
  update(model, browser::Event(capture()));
  EXPECT_EQ(words::status_line(model), before);
}

TEST(Update, ScrewIsOnlyTheDemos) {
  Model model = listening();
  EXPECT_TRUE(update(model, Intent(intent::TurnTrimmer{1.0})).empty());
}

TEST(Update, ListenWhileTheDemoRunsStopsItsTape) {
  Model model;
  press(model, "act-demo");
  const Effects effects = press(model, "act-listen");
  EXPECT_TRUE(has<effect::StopTape>(effects));
  EXPECT_TRUE(has<effect::StartCapture>(effects));
}

TEST(Update, FileIsMeasuredAndShown) {
  Model model = listening();
  EXPECT_TRUE(has<effect::OpenFilePicker>(press(model, "act-open-file")));
  EXPECT_EQ(model.phase, Phase::listening);  // until one is chosen
  EXPECT_TRUE(has<effect::StopCapture>(update(model, browser::Event(browser::FileStarted{"a.wav"}))));
  update(model, browser::Event(browser::FileProgress{0.5}));
  EXPECT_EQ(model.file.fraction, 0.5);
  update(model, browser::Event(browser::FileMeasured{encode(snapshot(-0.25, 0.004))}));
  EXPECT_EQ(model.phase, Phase::file_shown);
  ASSERT_NE(shown_reading(model), nullptr);
  EXPECT_EQ(shown_reading(model)->speed_error_percent, -0.25);
  EXPECT_EQ(model.figure_decimals, 3);
}

TEST(Update, FileThatEndsEarlyIsMeasuredAndSaidToBeCut) {
  Model model;
  update(model, browser::Event(browser::FileStarted{"a.wav"}));
  Snapshot cut = snapshot(-0.25, 0.004);
  cut.time_s = 12.34;
  cut.cut_short = true;
  update(model, browser::Event(browser::FileMeasured{encode(cut)}));
  EXPECT_EQ(model.phase, Phase::file_shown);
  const auto told = words::messages(model);
  ASSERT_EQ(told.size(), 1u);
  EXPECT_NE(told[0].text.find("ends after 12.3 s"), std::string::npos) << told[0].text;
}

TEST(Update, AnotherToneMeasuresTheFileOnShowAgain) {
  Model model;
  update(model, browser::Event(browser::FileStarted{"a.wav"}));
  update(model, browser::Event(browser::FileMeasured{encode(snapshot(-0.25, 0.004))}));
  const Effects effects = control(model, "tone", "3150");
  ASSERT_TRUE(has<effect::MeasureAgain>(effects));
  EXPECT_EQ(find<effect::MeasureAgain>(effects)->nominal_hz, 3150.0);
  EXPECT_EQ(model.phase, Phase::measuring_file);
  EXPECT_EQ(shown_reading(model), nullptr);  // the old answer is gone at once
  // The page begins it as any other file: what began it must not be cancelled.
  EXPECT_FALSE(has<effect::CancelFile>(update(model, browser::Event(browser::FileStarted{"a.wav"}))));
  Snapshot again = snapshot(-5.0, 0.004);
  again.nominal_hz = 3150.0;
  update(model, browser::Event(browser::FileMeasured{encode(again)}));
  EXPECT_EQ(model.phase, Phase::file_shown);
}

TEST(Update, IdenticalChannelsTravelWithTheFile) {
  for (const std::optional<bool> identical : {std::optional<bool>(), std::optional(false), std::optional(true)}) {
    Snapshot made = snapshot(0.1, 0.02, 2);
    made.channels_identical = identical;
    EXPECT_EQ(decode(encode(made))->channels_identical, identical);
  }
}

TEST(Update, ResultThatCannotBeReadFails) {
  Model model;
  update(model, browser::Event(browser::FileStarted{"a.wav"}));
  update(model, browser::Event(browser::FileMeasured{{1, 2, 3}}));
  EXPECT_EQ(model.phase, Phase::failed);
}

TEST(Update, LateResultOfACancelledFileIsNotShown) {
  Model model;
  update(model, browser::Event(browser::FileStarted{"a.wav"}));
  EXPECT_TRUE(has<effect::CancelFile>(press(model, "act-stop")));
  update(model, browser::Event(browser::FileMeasured{encode(snapshot(-0.25, 0.004))}));
  EXPECT_EQ(model.phase, Phase::idle);
}

TEST(Update, DigitsGoAtOnceAndComeBackWithSomethingToSpare) {
  Model model = listening();
  take(model, snapshot(0.1, 0.02));
  EXPECT_EQ(model.figure_decimals, 2);
  take(model, snapshot(0.1, 0.095));
  EXPECT_EQ(model.figure_decimals, 1);
  take(model, snapshot(0.1, 0.085));  // would do, but only just
  EXPECT_EQ(model.figure_decimals, 1);
  take(model, snapshot(0.1, 0.05));
  EXPECT_EQ(model.figure_decimals, 2);
}

TEST(Update, BetterChannelIsShownWithoutHopping) {
  Model model = listening();
  Snapshot made = snapshot(0.1, 0.02, 2);
  made.channel[0].calm.u95_percent = 0.025;  // hardly worse
  take(model, made);
  EXPECT_EQ(model.shown_channel, 0);
  made.channel[0].calm.status = Status::no_tone;
  take(model, made);
  EXPECT_EQ(model.shown_channel, 1);
  control(model, "channel", "left");
  take(model, made);
  EXPECT_EQ(model.shown_channel, 0);
}

TEST(Update, OneChannelIsShownWhateverWasChosen) {
  Model model = listening();
  control(model, "channel", "right");
  take(model, snapshot(0.1, 0.02, 1));
  EXPECT_EQ(model.shown_channel, 0);
}

TEST(Update, ChannelsOfALiveTapeAreCompared) {
  Model model = listening();
  Snapshot made = snapshot(0.1, 0.02, 2);
  take(model, made);
  EXPECT_EQ(model.snapshot->channels_agree, true);
  made.channel[1].calm.speed_error_percent = 0.2;
  take(model, made);
  EXPECT_EQ(model.snapshot->channels_agree, false);
  made.channel[1].calm.status = Status::unreliable;
  take(model, made);
  EXPECT_FALSE(model.snapshot->channels_agree.has_value());
}

TEST(Update, NewVersionIsNeverTakenWhileMeasuring) {
  Model model = listening();
  update(model, browser::Event(browser::UpdateReady{}));
  EXPECT_TRUE(press(model, "act-update").empty());
  press(model, "act-stop");
  EXPECT_TRUE(has<effect::TakeUpdate>(press(model, "act-update")));
}

TEST(Update, UnknownButtonsAndControlsChangeNothing) {
  Model model;
  EXPECT_TRUE(press(model, "act-as-found").empty());
  EXPECT_TRUE(control(model, "colour", "3").empty());
  EXPECT_TRUE(control(model, "unit", "furlongs").empty());
  EXPECT_EQ(model.settings, Settings{});
  EXPECT_EQ(model.phase, Phase::idle);
}

TEST(Update, LinkIsTakenWholeOrNotAtAll) {
  Model model;
  update(model, browser::Event(browser::FragmentOpened{"v1.tone=3150&tol=0.3&note=Side%20A"}));
  EXPECT_EQ(model.settings.nominal_hz, 3150.0);
  EXPECT_EQ(model.settings.tolerance_percent, 0.3);
  EXPECT_EQ(model.link_note, "Side A");
  EXPECT_TRUE(model.link_fault.empty());
  const Settings before = model.settings;
  update(model, browser::Event(browser::FragmentOpened{"v1.tone=440&tol=99"}));
  EXPECT_EQ(model.settings, before);
  EXPECT_FALSE(model.link_fault.empty());
}

TEST(Update, SettingsComeBackAsTheyWereStored) {
  std::map<std::string, std::string, std::less<>> kept;
  Model before;
  for (const Effects& effects :
       {control(before, "tone", "2987.5"), control(before, "tolerance", "0.8"), control(before, "unit", "hz"),
        control(before, "channel", "right"), control(before, "trace", "raw"), control(before, "device", "usb")}) {
    ASSERT_TRUE(has<effect::Store>(effects));
    kept[std::string(find<effect::Store>(effects)->key)] = find<effect::Store>(effects)->value;
  }
  Model after;
  restore_settings(after, [&](std::string_view key) -> std::optional<std::string> {
    const auto found = kept.find(key);
    return found == kept.end() ? std::nullopt : std::optional(found->second);
  });
  EXPECT_EQ(after.settings, before.settings);
}

// A snapshot in which so much tone has been heard.
Snapshot heard(double seconds) {
  Snapshot made = snapshot(0.2, 0.01);
  made.channel[0].whole.trusted_s = seconds;
  return made;
}

TEST(Update, HalfAMinuteIsMeasuredFromANewSession) {
  Model model = listening();
  take(model, heard(100.0));
  const Effects effects = press(model, "act-measure");
  EXPECT_TRUE(has<effect::OpenSession>(effects));
  EXPECT_EQ(shown_reading(model), nullptr);  // what was heard before does not count
  ASSERT_TRUE(measures(model));
  EXPECT_TRUE(wants_whole(model));
  take(model, heard(29.9));
  ASSERT_TRUE(measures(model));
  control(model, "place", "end");  // too late for this one
  take(model, heard(30.0));
  EXPECT_FALSE(measures(model));
  ASSERT_TRUE(model.machine.measured[0].has_value());
  EXPECT_EQ(model.machine.measured[0]->whole.speed_error_percent, 0.2);
  EXPECT_FALSE(model.machine.measured[3].has_value());
  control(model, "place", "end");
  press(model, "act-measure");
  take(model, heard(31.0));
  EXPECT_TRUE(model.machine.measured[3].has_value());
  press(model, "act-forget-measured");
  EXPECT_FALSE(model.machine.measured[0] || model.machine.measured[3]);
}

TEST(Update, ALostToneIsSaidAndTheMeasurementGoesOn) {
  Model model = listening();
  press(model, "act-measure");
  take(model, heard(12.0));
  EXPECT_EQ(words::measure_said(model), "12 of 30 s of tone heard.");
  Snapshot lost = heard(12.0);
  lost.channel[0].dial.status = Status::no_tone;
  take(model, lost);
  lost = heard(12.0);
  lost.channel[0].dial.status = Status::no_tone;
  take(model, lost);
  EXPECT_EQ(words::measure_said(model), "The tone is lost: it goes on when it is back. 12 of 30 s of tone heard.");
  take(model, heard(13.0));
  EXPECT_EQ(words::measure_said(model), "13 of 30 s of tone heard; the tone was lost once.");
}

TEST(Update, AMeasurementThatCannotBeTrustedIsNotKept) {
  Model model = listening();
  press(model, "act-measure");
  Snapshot noisy = heard(30.0);
  noisy.channel[0].whole.status = Status::unreliable;
  noisy.channel[0].whole.reasons.add(Reason::clipping);
  take(model, noisy);
  EXPECT_FALSE(measures(model) || model.machine.measured[0]);
  EXPECT_NE(words::measure_said(model).find("Too loud"), std::string::npos);
}

TEST(Update, AMeasurementEndsWithWhatRunsAndCanBeBrokenOff) {
  Model model = listening();
  press(model, "act-measure");
  press(model, "act-measure");
  EXPECT_FALSE(measures(model));
  press(model, "act-measure");
  press(model, "act-stop");
  EXPECT_FALSE(measures(model));
  EXPECT_TRUE(press(model, "act-measure").empty());  // nothing runs
}

TEST(Update, TheViewAndTheTraceAreChosen) {
  Model model = listening();
  press(model, "act-flutter");
  EXPECT_EQ(model.view, View::flutter);
  press(model, "act-flutter");
  EXPECT_EQ(model.view, View::speed);
  EXPECT_EQ(find<effect::Store>(control(model, "trace", "raw"))->value, "raw");
  EXPECT_EQ(model.settings.trace, Trace::raw);
}

TEST(Update, WowAndFlutterTravelWithTheFile) {
  Snapshot made = snapshot(0.1, 0.02);
  ChannelSnapshot& channel = made.channel[0];
  channel.whole_flutter.weighted_two_sigma = FlutterFigure{0.11, 0.12, 0.01, 0.02, 0.003, false};
  channel.whole_flutter.flutter_rms = FlutterFigure{std::nullopt, 0.02, 0.02, 0.015, std::nullopt, true};
  channel.whole_flutter.drift = Drift{-0.1, 0.02};
  channel.flutter_picture.peak_percent = {0.1F, 0.2F};
  channel.flutter_picture.peaks.resize(1);
  channel.flutter_picture.peaks[0].rate_hz = 7.6;
  channel.raw = {{1.0, -0.1F, 0.2F, true}};
  const auto back = decode(encode(made));
  ASSERT_TRUE(back.has_value());
  const ChannelSnapshot& read = back->channel[0];
  EXPECT_EQ(read.whole_flutter.weighted_two_sigma->percent, 0.11);
  EXPECT_EQ(read.whole_flutter.weighted_two_sigma->u95_percent, 0.003);
  EXPECT_TRUE(read.whole_flutter.flutter_rms->below_noise);
  EXPECT_FALSE(read.whole_flutter.flutter_rms->percent.has_value());
  EXPECT_FALSE(read.whole_flutter.wow_rms.has_value());
  EXPECT_EQ(read.whole_flutter.drift->percent_per_minute, -0.1);
  EXPECT_EQ(read.flutter_picture.peak_percent, channel.flutter_picture.peak_percent);
  EXPECT_EQ(read.flutter_picture.peaks[0].rate_hz, 7.6);
  EXPECT_EQ(read.raw[0].highest_percent, 0.2F);
  EXPECT_EQ(read.weighted.size(), 0u);
}

TEST(Update, APictureOfTheRatesKeepsEveryPeaksHeight) {
  std::vector<float> bins(2000, 0.001F);  // 0 to 200 Hz
  bins[76] = 0.08F;
  bins[1500] = 0.02F;
  FlutterSpectrumView spectrum;
  spectrum.peak_percent = bins;
  spectrum.bin_hz = 0.1;
  FlutterPicture picture;
  take_picture(spectrum, picture);
  ASSERT_EQ(picture.peak_percent.size(), FlutterPicture::kColumns);
  for (std::size_t column = 0; column < FlutterPicture::kColumns; ++column) {
    const double from = column_hz(column), to = column_hz(column + 1);
    const bool strong = from <= 7.6 && 7.6 < to, weak = from <= 150.0 && 150.0 < to;
    const bool bare = from > 1.0 && !strong && !weak && (to < 7.4 || from > 7.8);
    if (!strong && !weak && !bare) continue;  // between two bins
    EXPECT_EQ(picture.peak_percent[column], strong ? 0.08F : weak ? 0.02F : 0.001F) << from;
  }
  take_picture(std::nullopt, picture);
  EXPECT_TRUE(picture.peak_percent.empty());
}

TEST(Update, SettingsThatCannotBeReadAreLeftAlone) {
  Model model;
  restore_settings(model, [](std::string_view key) -> std::optional<std::string> {
    if (key == "device") return std::nullopt;
    return "rubbish";
  });
  EXPECT_EQ(model.settings, Settings{});
}

}  // namespace
}  // namespace four76
