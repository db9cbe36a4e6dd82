// TapeSession: one tape from its samples to what it tells, at any rate and in blocks of any size.
#include "core/tapes/tape_session.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

#include "core/tapes/speed_posterior.hpp"
#include "tests/unit/core/tape_music.hpp"

namespace four76 {
namespace {

using test::Chords;
using test::kTwoPi;
using test::played_chords;

TapeFindings findings_of(std::span<const float> samples, double rate_hz = kSongRate_hz, int channels = 1,
                         std::size_t block = 512) {
  TapeSession session({.sample_rate_hz = rate_hz, .channels = channels});
  test::feed(session, samples, block * static_cast<std::size_t>(channels));
  return session.findings();
}

std::vector<float> noisy(std::vector<float> samples, double rms = 1e-4) {
  test::add_noise(samples, rms, 3);
  return samples;
}

const Evidence* pitch_in(const TapeFindings& findings) {
  for (const Evidence& evidence : findings.evidence)
    if (evidence.kind == EvidenceKind::concert_pitch) return &evidence;
  return nullptr;
}

// The offset of the notes in cents, or what no test expects.
double cents_in(const TapeFindings& findings) {
  const Evidence* const pitch = pitch_in(findings);
  return pitch ? 1200.0 * std::log2(pitch->measured_hz / 440.0) : 999.0;
}

void expect_nothing_but(TapeReason reason, const TapeFindings& findings) {
  EXPECT_TRUE(findings.evidence.empty());
  EXPECT_EQ(findings.reasons, (std::vector<TapeReason>{reason}));
  EXPECT_FALSE(findings.relative_wow_rms_percent || findings.drift_percent_per_minute || findings.lately_percent);
  EXPECT_FALSE(findings.relative_wow_u95_percent || findings.wow_rate_hz || findings.wow_rate_u95_hz);
}

// Kicks that fall in pitch, and bursts of noise in between.
std::vector<float> drums(double seconds) {
  test::Noise noise(4);
  std::vector<float> x(test::frames_in(seconds, kSongRate_hz));
  for (std::size_t n = 0; n < x.size(); ++n) {
    const double t = std::fmod(static_cast<double>(n) / kSongRate_hz, 0.25);
    const double turns = 60.0 * t + 3.0 * (1.0 - std::exp(-40.0 * t));
    x[n] =
        static_cast<float>(0.2 * std::exp(-30.0 * t) * noise() + 0.5 * std::exp(-12.0 * t) * std::sin(kTwoPi * turns));
  }
  return x;
}

// Music with a whistle of 15,625 Hz on a machine that is 1 % fast and wows by 0.3 % peak at 1.2 Hz.
std::vector<float> whistling(double seconds) {
  const auto position = [](double t) { return 1.01 * t + 0.003 / (kTwoPi * 1.2) * std::sin(kTwoPi * 1.2 * t); };
  auto x = noisy(played_chords({.seconds = seconds, .rate_hz = 48000.0, .seed = 6}, position));
  const auto whistle = [&](double t) { return 15625.0 * position(t); };
  test::add(x, test::sound_of(whistle, seconds, 48000.0, 0.01));
  return x;
}

TEST(TapeSession, HoldsTheTruthOfMusicAtAnySpeed) {
  for (const double percent : {-2.0, 0.0, 1.1}) {
    const auto findings = findings_of(noisy(played_chords({.seconds = 20.0, .cents = 5.0, .seed = 1}, percent)));
    const double truth = 5.0 + test::cents_of_percent(percent);
    EXPECT_TRUE(findings.reasons.empty());
    EXPECT_NEAR(findings.heard_s, 20.0, 1e-9);
    ASSERT_TRUE(pitch_in(findings)) << percent;
    // 1 % is 17.3 cents (derived).
    EXPECT_NEAR(cents_in(findings), truth, 17.3 * pitch_in(findings)->measured_u95_percent) << percent;
    EXPECT_LT(pitch_in(findings)->measured_u95_percent, 0.3);
    EXPECT_EQ(pitch_in(findings)->on_tape_probability, 1.0);
  }
}

TEST(TapeSession, SaysTheSameInBlocksOfAnySize) {
  const auto x = whistling(16.0);
  const auto once = findings_of(x, 48000.0);
  ASSERT_EQ(once.evidence.size(), 3u);  // the pitch, and the whistle as of both nominals
  for (const std::size_t block : {1u, 127u, 4096u, 48000u, 768000u}) {
    const auto findings = findings_of(x, 48000.0, 1, block);
    ASSERT_EQ(findings.evidence.size(), 3u) << block;
    EXPECT_EQ(cents_in(findings), cents_in(once)) << block;
    EXPECT_EQ(findings.relative_wow_rms_percent, once.relative_wow_rms_percent) << block;
    EXPECT_EQ(findings.wow_rate_hz, once.wow_rate_hz) << block;
    EXPECT_EQ(findings.lately_percent, once.lately_percent) << block;
    // Within a piece of 40 ms it is open which of movement and frame comes first.
    EXPECT_NEAR(findings.evidence[1].measured_hz, once.evidence[1].measured_hz, 0.5) << block;
    EXPECT_NEAR(findings.evidence[1].on_tape_probability, once.evidence[1].on_tape_probability, 0.05) << block;
  }
}

// At another speed, too: neither wow nor its rate needs to know it. The rate is that of the machine's own time.
TEST(TapeSession, TellsTheWowAndItsRate) {
  const auto position = [](double t) { return 1.023 * (t + 0.003 / (kTwoPi * 0.8) * std::sin(kTwoPi * 0.8 * t)); };
  const auto x = noisy(played_chords({.seconds = 40.0, .rate_hz = 48000.0, .seed = 9, .chord_s = 1.1}, position));
  const auto findings = findings_of(x, 48000.0);
  ASSERT_TRUE(findings.relative_wow_rms_percent && findings.relative_wow_u95_percent);
  EXPECT_NEAR(*findings.relative_wow_rms_percent, 0.3 / std::numbers::sqrt2, 0.1 * 0.3 / std::numbers::sqrt2);
  ASSERT_TRUE(findings.wow_rate_hz && findings.wow_rate_u95_hz);
  EXPECT_NEAR(*findings.wow_rate_hz, 0.8, *findings.wow_rate_u95_hz);
}

TEST(TapeSession, TakesEveryRateFrom8To192Kilohertz) {
  for (const double rate_hz : {8000.0, 11025.0, 44100.0, 48000.0, 96000.0, 192000.0}) {
    const auto x = noisy(played_chords({.seconds = 13.0, .rate_hz = rate_hz, .cents = -8.0, .seed = 2}, 0.7));
    const auto findings = findings_of(x, rate_hz);
    EXPECT_NEAR(cents_in(findings), -8.0 + test::cents_of_percent(0.7), 1.0) << rate_hz;
    EXPECT_NEAR(findings.heard_s, 13.0, 0.001) << rate_hz;
  }
}

TEST(TapeSession, HearsTwoChannelsAlsoOpposed) {
  const auto left = noisy(played_chords({.seconds = 13.0, .cents = 20.0, .seed = 3}));
  std::vector<float> opposed(left);
  for (float& sample : opposed) sample = -sample;
  const std::vector<float> nothing(left.size());
  for (const auto& right : {left, opposed, nothing}) {
    const auto findings = findings_of(test::stereo(left, right), kSongRate_hz, 2);
    EXPECT_NEAR(cents_in(findings), cents_in(findings_of(left)), 0.1);
    EXPECT_NEAR(findings.heard_s, 13.0, 0.001);
  }
}

TEST(TapeSession, FindsNoPitchInSpeechNoiseAndDrums) {
  expect_nothing_but(TapeReason::no_pitch, findings_of(noisy(test::voice(20.0, kSongRate_hz, 0.5, 5))));
  expect_nothing_but(TapeReason::no_pitch, findings_of(noisy(std::vector<float>(240000), 0.1)));
  expect_nothing_but(TapeReason::no_pitch, findings_of(noisy(drums(20.0))));
}

// Somebody plays the speed tape: what it says is no concert pitch.
TEST(TapeSession, TakesNoSteadyToneForMusic) {
  for (const double hz : {400.0, 1000.0, 3000.0, 3150.0})
    expect_nothing_but(TapeReason::no_pitch, findings_of(noisy(test::tone(hz, 20.0, kSongRate_hz), 1e-3)));
}

// As programs make it: what digits and filters leave of a tone is neither a hum nor a whistle.
TEST(TapeSession, FindsNoLinesInSoundWithoutAnyNoise) {
  for (const double hz : {315.0, 1000.0, 3000.0})
    for (const double rate_hz : {kSongRate_hz, 48000.0})
      expect_nothing_but(TapeReason::no_pitch, findings_of(test::tone(hz, 30.0, rate_hz), rate_hz));
  const auto music = findings_of(played_chords({.seconds = 16.0, .rate_hz = 48000.0, .cents = 12.0}, 1.0), 48000.0);
  EXPECT_EQ(music.evidence.size(), 1u);
}

TEST(TapeSession, SaysThatThereIsTooLittle) {
  expect_nothing_but(TapeReason::too_quiet, findings_of(std::vector<float>(240000)));
  expect_nothing_but(TapeReason::too_quiet, findings_of(noisy(std::vector<float>(240000), 1e-5)));
  expect_nothing_but(TapeReason::too_short, findings_of(played_chords({.seconds = 8.0, .seed = 6})));
  expect_nothing_but(TapeReason::too_short, findings_of({}));
}

TEST(TapeSession, GoesOnAfterWhatIsNoNumberAndWhatIsTooLarge) {
  auto x = noisy(played_chords({.seconds = 20.0, .cents = 9.0, .seed = 7}));
  x[70000] = std::numeric_limits<float>::quiet_NaN();
  x[71000] = -std::numeric_limits<float>::infinity();
  x[150000] = 1e25F;
  const auto findings = findings_of(x);
  EXPECT_NEAR(cents_in(findings), 9.0, 1.0);
  ASSERT_TRUE(findings.lately_percent && findings.lately_u95_percent);
  EXPECT_NEAR(*findings.lately_percent, 0.0, *findings.lately_u95_percent);
  EXPECT_LT(findings.relative_wow_rms_percent.value_or(0.0), 0.05);
  const std::vector<float> none(180000, std::numeric_limits<float>::quiet_NaN());
  expect_nothing_but(TapeReason::too_quiet, findings_of(none));
}

TEST(TapeSession, CanBeMoved) {
  const auto x = noisy(played_chords({.seconds = 14.0, .cents = 9.0, .seed = 8}));
  TapeSession first({.sample_rate_hz = kSongRate_hz});
  first.process(std::span(x).first(80000));
  TapeSession second = std::move(first);
  second.process(std::span(x).subspan(80000));
  EXPECT_EQ(cents_in(second.findings()), cents_in(findings_of(x)));
}

// A machine that is 1 % fast, told by a whistle of the recording: through the whole room.
TEST(TapeSession, AWhistleOnTheTapeDecidesBetweenSpeeds) {
  const auto findings = findings_of(whistling(20.0), 48000.0);
  const auto answer = speed_from(std::span(&findings, 1), {});
  ASSERT_EQ(answer.status, TapeStatus::measured);
  EXPECT_NEAR(answer.candidates.front().speed_error_percent, 1.0, answer.candidates.front().u95_percent);
  EXPECT_LT(answer.candidates.front().u95_percent, 0.1);
}

TEST(TapeSession, NamesItsReasonsAndKinds) {
  EXPECT_EQ(name_of(EvidenceKind::line_scan), "line_scan");
  EXPECT_EQ(name_of(EvidenceKind::mains_hum), "mains_hum");
  EXPECT_EQ(name_of(EvidenceKind::concert_pitch), "concert_pitch");
  EXPECT_EQ(name_of(TapeReason::too_quiet), "too_quiet");
  EXPECT_EQ(name_of(TapeReason::too_short), "too_short");
  EXPECT_EQ(name_of(TapeReason::no_pitch), "no_pitch");
  EXPECT_EQ(name_of(TapeReason::ambiguous), "ambiguous");
  EXPECT_EQ(name_of(TapeReason::tapes_disagree), "tapes_disagree");
}

}  // namespace
}  // namespace four76
