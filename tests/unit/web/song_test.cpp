// The song bench: model + intent or event -> model + effects, the words for it, and what its pictures are made from.
#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <string>
#include <variant>

#include "web/budget/budget.hpp"
#include "web/mirror.hpp"
#include "web/song/match/alignment.hpp"
#include "web/song/match/job.hpp"
#include "web/song/match/trail.hpp"
#include "web/song/words.hpp"
#include "web/update.hpp"
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
Effects control(Model& model, const char* name, const std::string& value) {
  return update(model, browser::Event(browser::ControlChanged{name, value}));
}
Effects hear(Model& model, browser::Event event) { return update(model, event); }

browser::CaptureStarted capture() {
  browser::CaptureStarted started;
  started.sample_rate_hz = 48000.0;
  started.channels = 2;
  started.device_label = "Line in";
  return started;
}

Model with_reference(double seconds = 225.0) {
  Model model;
  press(model, "act-song");
  hear(model, browser::SongFileStarted{"Summer.flac", false});
  EXPECT_TRUE(has<effect::HoldSong>(hear(model, browser::SongRead{seconds})));
  return model;
}

Model following(double error_percent = 1.2, double u95_percent = 0.01) {
  Model model = with_reference();
  press(model, "act-song-listen");
  hear(model, capture());
  Snapshot fresh;
  fresh.channels = 1;
  Reading& dial = fresh.channel[0].dial;
  dial.status = Status::measured;
  dial.speed_error_percent = error_percent;
  dial.u95_percent = u95_percent;
  accept_song(model, fresh, SongState::following, 83.4);
  return model;
}

SongResult result(SongStatus status, double error_percent = 1.5) {
  SongResult made;
  made.used_s = made.tape_s = 40.0;
  made.match.status = status;
  SongFit fit;
  fit.speed_error_percent = error_percent;
  fit.u95_percent = 0.003;
  fit.start_s = 72.0;
  fit.held_s = 39.0;
  fit.held_share = 0.97;
  fit.wow_rms_percent = 0.12;
  fit.wow_rms_u95_percent = 0.02;
  made.match.fit = fit;
  made.match.path.speed = 1.01;
  for (int i = 0; i < 400; ++i) {
    const double t = 0.1 * i, cut_s = i < 200 ? 0.0 : 2.5;
    made.match.path.points.push_back(
        {t, 72.0 + cut_s + 0.01 * (error_percent - 1.0) * t, 15.0, true, true, i % 10 != 0, i < 200 ? 0 : 1});
  }
  return made;
}

Model with_result(const SongResult& made) {
  Model model = with_reference();
  hear(model, browser::SongFileStarted{"side A.wav", true});
  hear(model, browser::SongMatched{encode(made)});
  return model;
}

TEST(SongBench, IsEnteredAndLeft) {
  Model model;
  EXPECT_FALSE(can_take_reference(model));
  press(model, "act-listen");
  EXPECT_TRUE(has<effect::StopCapture>(press(model, "act-song")));
  EXPECT_EQ(model.phase, Phase::idle);
  EXPECT_TRUE(can_take_reference(model));
  EXPECT_FALSE(can_play_tape(model) || can_listen(model) || can_demo(model) || can_open_file(model));
  EXPECT_EQ(find<effect::OpenFilePicker>(press(model, "act-song-reference"))->role, "reference");
  press(model, "act-song-close");
  EXPECT_TRUE(can_listen(model) && !can_take_reference(model));
}

TEST(SongBench, TakesAFileAsReferenceThenATape) {
  Model model = with_reference();
  ASSERT_TRUE(model.song.reference.has_value());
  EXPECT_EQ(model.song.reference->name, "Summer.flac");
  EXPECT_EQ(model.phase, Phase::idle);
  EXPECT_EQ(find<effect::OpenFilePicker>(press(model, "act-song-file"))->role, "tape");
  EXPECT_TRUE(has<effect::StartCapture>(press(model, "act-song-listen")));
  const Effects effects = hear(model, capture());
  ASSERT_TRUE(has<effect::OpenSong>(effects));
  EXPECT_FALSE(has<effect::OpenSession>(effects));
  EXPECT_EQ(find<effect::OpenSong>(effects)->sample_rate_hz, 48000.0);
  EXPECT_TRUE(has<effect::CloseSession>(press(model, "act-stop")));
  EXPECT_TRUE(model.song.reference.has_value());  // for the next tape
  EXPECT_TRUE(has<effect::DropSong>(press(model, "act-song-forget")));
  EXPECT_FALSE(model.song.reference.has_value());
}

TEST(SongBench, ATapeWithoutAReferenceAndAFileOutsideTheBenchAreNotTaken) {
  Model model;
  EXPECT_TRUE(has<effect::CancelFile>(hear(model, browser::SongFileStarted{"x", false})));
  press(model, "act-song");
  EXPECT_TRUE(has<effect::CancelFile>(hear(model, browser::SongFileStarted{"x", true})));
  EXPECT_TRUE(hear(model, browser::SongRead{100.0}).empty());
  EXPECT_FALSE(model.song.reference.has_value());
}

TEST(SongBench, RecordsTheReference) {
  Model model;
  press(model, "act-song");
  press(model, "act-song-record");
  ASSERT_TRUE(has<effect::StartRecording>(hear(model, capture())));
  update(model, Intent(intent::Recorded{5.0, -12.0}));
  EXPECT_FALSE(can_use_recording(model));  // too short
  EXPECT_TRUE(press(model, "act-song-done").empty());
  update(model, Intent(intent::Recorded{31.0, -12.0}));
  const Effects effects = press(model, "act-song-done");
  EXPECT_TRUE(std::holds_alternative<effect::HoldRecording>(effects.front()));  // before the session is closed
  EXPECT_TRUE(has<effect::StopCapture>(effects));
  ASSERT_TRUE(model.song.reference && model.song.reference->recorded);
  EXPECT_EQ(model.song.reference->seconds, 31.0);
}

TEST(SongBench, ARecordingOfSilenceIsNoReferenceAndOneThatFillsTheRoomEnds) {
  Model model;
  press(model, "act-song");
  press(model, "act-song-record");
  hear(model, capture());
  update(model, Intent(intent::Recorded{60.0, -75.0}));
  EXPECT_FALSE(can_use_recording(model));
  EXPECT_EQ(words::hint(model).way, words::Way::distrust);
  update(model, Intent(intent::Recorded{61.0, -12.0}));
  EXPECT_TRUE(has<effect::HoldRecording>(update(model, Intent(intent::Recorded{600.0, -12.0}))));
  EXPECT_EQ(model.phase, Phase::idle);
}

TEST(SongBench, SaysWhereItIsAndJudgesAsWithATone) {
  Model model = following();
  EXPECT_EQ(words::status_line(model), "Locked at 1:23 of the song, 48 kHz");
  EXPECT_EQ(words::hint(model).way, words::Way::slower);
  EXPECT_EQ(trust(model), Trust::good);
  EXPECT_NE(mirror_json(model).find("\"song_state\":\"following\",\"song_position_s\":83.40000000"), std::string::npos);
  Snapshot fresh;
  fresh.channels = 1;
  fresh.channel[0].dial.reasons.add(Reason::no_tone);
  accept_song(model, fresh, SongState::lost, std::nullopt);
  EXPECT_EQ(words::hint(model).way, words::Way::distrust);
  EXPECT_EQ(words::hint(model).text, "The song is lost");
  EXPECT_FALSE(can_keep_tape(model));
}

TEST(SongBench, SettingsAndOtherInputsLeaveItToTheSong) {
  Model model = following();
  EXPECT_FALSE(has<effect::OpenSession>(control(model, "tone", "3150")));
  EXPECT_FALSE(can_measure(model) || can_change_view(model));
  const Effects effects = control(model, "device", "cable");
  EXPECT_TRUE(has<effect::StartCapture>(effects));
  EXPECT_TRUE(has<effect::OpenSong>(hear(model, capture())));
}

TEST(SongBench, AFailureIsTriedAgainByItsOwnButton) {
  Model model = with_reference();
  press(model, "act-song-listen");
  hear(model, browser::CaptureFailed{browser::CaptureFault::device_busy, ""});
  EXPECT_EQ(words::messages(model).front().act, "act-song-listen");
  hear(model, browser::SongFileStarted{"side A.wav", true});
  hear(model, browser::FileFailed{"side A.wav: it is silent."});
  EXPECT_EQ(words::messages(model).front().act, "act-song-file");
  EXPECT_TRUE(model.song.reference.has_value());
  Model fresh;
  press(fresh, "act-song");
  press(fresh, "act-song-record");
  hear(fresh, browser::CaptureFailed{browser::CaptureFault::no_device, ""});
  EXPECT_EQ(words::messages(fresh).front().act, "act-song-record");
}

TEST(SongBench, ShowsWhatATapesFileCameTo) {
  const Model model = with_result(result(SongStatus::matched));
  EXPECT_EQ(model.phase, Phase::file_shown);
  EXPECT_EQ(trust(model), Trust::good);
  EXPECT_EQ(words::hint(model).way, words::Way::slower);
  EXPECT_EQ(words::song_lines(model)[1].amount, "from 1:12 of the song");
  const std::string json = mirror_json(model);
  EXPECT_NE(json.find("\"song_status\":\"matched\",\"reference_start_s\":72.0"), std::string::npos);
  EXPECT_NE(json.find("\"speed_error_percent\":1.5"), std::string::npos);
}

// The Worker matches; what the tolerance makes of it is the page's, and changes with it.
TEST(SongBench, HoldsATapesFileAgainstTheToleranceThatIsSet) {
  SongResult made = result(SongStatus::matched);
  made.match.fit->u95_percent = 0.03;
  Model model = with_result(made);
  EXPECT_EQ(trust(model), Trust::good);
  control(model, "tolerance", "0.1");
  EXPECT_EQ(trust(model), Trust::doubtful);
  EXPECT_EQ(words::hint(model).text, "The speed is not known well enough for this tolerance.");
  EXPECT_FALSE(can_keep_tape(model));
  EXPECT_TRUE(shown_reading(model)->speed_error_percent.has_value());
  control(model, "tolerance", "0.5");
  EXPECT_EQ(trust(model), Trust::good);
  EXPECT_TRUE(can_keep_tape(model));
}

TEST(SongBench, KeepsNoTapeThatIsNotKnownToAFifthOfTheTolerance) {
  EXPECT_TRUE(can_keep_tape(following(1.2, 0.09)));
  Model model = following(1.2, 0.11);
  EXPECT_FALSE(can_keep_tape(model));
  control(model, "tolerance", "1");
  EXPECT_TRUE(can_keep_tape(model));
}

TEST(SongBench, NeverShowsASpeedOfAnotherRecordingOrOfAShortStretch) {
  SongResult other = result(SongStatus::unreliable);
  other.match.reasons.push_back(SongReason::different_recording);
  SongResult little = result(SongStatus::unreliable);
  little.match.reasons.push_back(SongReason::too_little_overlap);
  SongResult lost = result(SongStatus::unreliable);
  lost.match.reasons.push_back(SongReason::capture_gap);
  for (const SongResult& made : {other, little, lost, result(SongStatus::not_matched)}) {
    const Model model = with_result(made);
    EXPECT_FALSE(shown_reading(model)->speed_error_percent.has_value());
    EXPECT_EQ(words::hint(model).way, words::Way::distrust);
    EXPECT_FALSE(can_keep_tape(model));
    EXPECT_EQ(mirror_json(model).find("\"speed_error_percent\":1.5"), std::string::npos);
  }
  EXPECT_NE(mirror_json(with_result(other)).find("\"reasons\":[\"different_recording\"]"), std::string::npos);
}

TEST(SongBench, BytesThatAreNoResultAreRefused) {
  std::vector<std::uint8_t> bytes = encode(result(SongStatus::matched));
  EXPECT_TRUE(decode_song(bytes).has_value());
  for (std::size_t at = 0; at < bytes.size(); at += 97) {
    auto broken = bytes;
    broken[at] ^= 0x5A;
    EXPECT_FALSE(decode_song(broken).has_value());
  }
  EXPECT_FALSE(decode_song({}).has_value());
  Model model = with_reference();
  hear(model, browser::SongFileStarted{"side A.wav", true});
  hear(model, browser::SongMatched{{1, 2, 3}});
  EXPECT_EQ(model.phase, Phase::failed);
}

TEST(SongBudget, CountsTheClocksOfMicrophoneAndPlayer) {
  Model model = following();
  auto all = budget(model);
  ASSERT_TRUE(all);
  EXPECT_NEAR(*all->terms.clock_percent, 0.0101, 1e-4);  // this microphone's
  EXPECT_FALSE(all->terms.reference_percent);            // a file has no player
  EXPECT_FALSE(all->terms.tape_percent);
  model.song.reference->recorded = true;  // through the same microphone: the player's instead
  model.song.reference->input = "Line in";
  model.song.reference->sample_rate_hz = 48000.0;
  all = budget(model);
  EXPECT_FALSE(all->terms.clock_percent);
  EXPECT_NEAR(*all->terms.reference_percent, 0.0101, 1e-4);
  model.song.reference->input = "Another one";  // all three
  all = budget(model);
  EXPECT_NEAR(std::hypot(*all->terms.clock_percent, *all->terms.reference_percent), 0.0101 * std::sqrt(3.0), 1e-4);
}

TEST(SongBudget, AClockCheckCorrectsUnlessBothCameThroughTheMicrophone) {
  Model model = with_reference();
  keep_clock(model.clock.kept, {48000.0, "Line in", {100.0, 2.0}, "2026-11-26"});
  press(model, "act-song-listen");
  EXPECT_NEAR(find<effect::OpenSong>(hear(model, capture()))->sample_rate_hz, 48004.8, 1e-6);
  model = with_reference();
  keep_clock(model.clock.kept, {48000.0, "Line in", {100.0, 2.0}, "2026-11-26"});
  model.song.reference->recorded = true;
  press(model, "act-song-listen");
  EXPECT_EQ(find<effect::OpenSong>(hear(model, capture()))->sample_rate_hz, 48000.0);
}

TEST(SongVotes, AResultIsKeptUnderItsName) {
  Model model = following(1.2, 0.01);
  EXPECT_TRUE(control(model, "keep-tape", "2026-11-26\nKitchen\n").empty());  // no name
  EXPECT_FALSE(model.song.keep_fault.empty());
  const Effects effects = control(model, "keep-tape", "2026-11-26\nKitchen\nSummer");
  EXPECT_TRUE(model.song.keep_fault.empty());
  std::map<std::string, std::string, std::less<>> kept;
  for (const Effect& effect : effects)
    if (const auto* store = std::get_if<effect::Store>(&effect)) kept[std::string(store->key)] = store->value;
  Model later;
  restore_settings(later, [&](std::string_view key) -> std::optional<std::string> {
    const auto found = kept.find(key);
    return found == kept.end() ? std::nullopt : std::optional(found->second);
  });
  ASSERT_EQ(later.song.tapes.size(), 1u);
  EXPECT_EQ(later.song.machine, "Kitchen");
  EXPECT_NEAR(later.song.tapes[0].vote.speed_error_percent, 1.2, 1e-6);
  EXPECT_NEAR(later.song.tapes[0].vote.u95_percent, std::hypot(0.01, 0.0101), 1e-4);
  EXPECT_TRUE(has<effect::Store>(control(later, "forget-tape", "0")));
  EXPECT_TRUE(later.song.tapes.empty());
}

TEST(SongVotes, HostileTextIsSetAsideAndSaidToBe) {
  for (const char* text : {"{}", "four76-tapes 1\n99 1 2026-11-26 - x\n", "<img src=x>"}) {
    Model model;
    restore_settings(
        model, [&](std::string_view key) { return key == "tapes" ? std::optional<std::string>(text) : std::nullopt; });
    EXPECT_TRUE(model.song.tapes.empty());
    EXPECT_EQ(words::messages(model).front().act, "act-forget-tapes");
    EXPECT_TRUE(has<effect::Store>(press(model, "act-forget-tapes")));
    EXPECT_TRUE(words::messages(model).empty());
  }
}

TEST(SongVotes, SaysWhoIsOff) {
  const auto said = [](std::initializer_list<double> errors) {
    std::vector<TapeVote> votes;
    for (const double error : errors) votes.push_back({error, 0.01});
    return words::vote_sentence(votes);
  };
  EXPECT_EQ(said({0.9, 1.1, 1.0, 2.6}).substr(0, 55), "Three tapes say +0.9, +1.1 and +1.0 %: your machine, mo");
  EXPECT_NE(said({0.9, 1.1, 1.0, 2.6}).find("One says +2.6 %: that tape."), std::string::npos);
  EXPECT_NE(said({1.0}).find("keep two more"), std::string::npos);
  EXPECT_NE(said({1.0, 1.1}).find("too few"), std::string::npos);
  EXPECT_NE(said({1.0, 2.0}).find("nobody can tell"), std::string::npos);
  EXPECT_NE(said({-1.0, 0.5, 2.0}).find("differ too much"), std::string::npos);
  EXPECT_EQ(said({}), "No tape is kept yet for this machine.");
}

TEST(SongAlignment, IsAStraightLineThroughACut) {
  const AlignmentPicture picture = alignment_of(result(SongStatus::matched, 1.5));
  ASSERT_EQ(picture.cuts_s.size(), 1u);
  EXPECT_NEAR(picture.cuts_s[0], 20.0, 0.2);
  EXPECT_NEAR(picture.slope, 0.015, 1e-12);
  for (const AlignmentPoint& point : picture.points) {
    if (!point.held) continue;
    EXPECT_NEAR(point.ahead_s, 0.015 * point.tape_s, 1e-9);
  }
  EXPECT_NEAR(picture.farthest_s, 0.6, 0.01);
  EXPECT_FALSE(alignment_of(result(SongStatus::not_matched)).has_line);
  EXPECT_TRUE(alignment_of({}).points.empty());
}

Reading dial(double time_s, double error_percent, Status status = Status::measured) {
  Reading made;
  made.time_s = time_s;
  made.status = status;
  if (status != Status::no_tone) made.speed_error_percent = error_percent;
  made.u95_percent = 0.01;
  return made;
}

TEST(SongTrail, TheCalmReadingIsTheMeanOfTenSeconds) {
  SongTrail trail;
  EXPECT_EQ(trail.calm().status, Status::no_tone);
  for (int i = 0; i < 400; ++i) {
    const double t = 0.05 * i;
    trail.add(dial(t, 1.0 + 0.05 * std::sin(2.0 * M_PI * 0.7 * t)));
  }
  const Reading calm = trail.calm();
  EXPECT_EQ(calm.status, Status::measured);
  EXPECT_TRUE(calm.reasons.empty());
  EXPECT_NEAR(calm.trusted_s, 10.0, 0.06);
  EXPECT_NEAR(*calm.speed_error_percent, 1.0, *calm.u95_percent);
  EXPECT_LT(*calm.u95_percent, 0.05);
}

TEST(SongTrail, LostSamplesAreSaidOfTheMeanTooWhileItHoldsThem) {
  SongTrail trail;
  Reading lost = dial(1.0, 1.0);
  lost.reasons.add(Reason::capture_gap);
  trail.add(lost);
  for (int i = 21; i < 200; ++i) trail.add(dial(0.05 * i, 1.0));
  EXPECT_TRUE(trail.calm().reasons.contains(Reason::capture_gap));
  for (int i = 200; i < 260; ++i) trail.add(dial(0.05 * i, 1.0));
  EXPECT_TRUE(trail.calm().reasons.empty());
}

TEST(SongTrail, ATurnIsNotSteadyAndALossBeginsAnew) {
  SongTrail trail;
  for (int i = 0; i < 200; ++i) trail.add(dial(0.05 * i, i < 120 ? 2.0 : 1.0));
  EXPECT_TRUE(trail.calm().reasons.contains(Reason::not_steady));
  for (int i = 200; i < 220; ++i) trail.add(dial(0.05 * i, 0.0, Status::no_tone));
  EXPECT_EQ(trail.calm().status, Status::no_tone);
  for (int i = 220; i < 320; ++i) trail.add(dial(0.05 * i, 1.0));
  EXPECT_NEAR(trail.calm().trusted_s, 5.0, 0.06);
  for (int i = 320; i < 2000; ++i) trail.add(dial(0.05 * i, 1.0));
  EXPECT_LE(trail.points().size(), 702u);  // 35 s of 20 a second
}

TEST(SongJob, RefusesWhatCannotBeCompared) {
  SongJob job;
  const auto begin = [&](double rate_hz, double seconds, bool tape) {
    return job.begin(rate_hz, 1, seconds * rate_hz, tape).value_or("");
  };
  EXPECT_NE(begin(44100.0, 700.0, false).find("11:40 long"), std::string::npos);
  EXPECT_NE(begin(44100.0, 3.0, false).find("only 3.0 s"), std::string::npos);
  EXPECT_NE(begin(44100.0, 3.0, true).find("of the tape"), std::string::npos);
  EXPECT_NE(begin(4000.0, 60.0, false).find("sample rate"), std::string::npos);
  EXPECT_EQ(begin(12000.0, 700.0, true), "");
  EXPECT_EQ(job.frames_wanted(), 120.0 * 12000.0);  // more of a tape is not used
  EXPECT_EQ(begin(12000.0, 11.0, false), "");
  job.take(std::vector<float>(11 * 12000, 0.0F));
  EXPECT_NE(job.finish().value_or("").find("silent"), std::string::npos);
  job.take(std::vector<float>(11 * 12000, 0.1F));
  EXPECT_FALSE(job.finish().has_value());
}

}  // namespace
}  // namespace four76
