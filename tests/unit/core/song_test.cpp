// The song as the test tape: its blocks one by one, and whole matches on small tapes with a known truth.
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include "core/song/song_match.hpp"
#include "core/song/song_session.hpp"
#include "tests/scenes/song_pieces.hpp"
#include "tests/scenes/song_tape.hpp"

namespace four76 {
namespace {

using scenes::at_song_rate;
using scenes::kPieceRate_hz;
using scenes::Manner;
using scenes::SongTape;

std::vector<float> sine(double hz, double rate_hz, double seconds) {
  std::vector<float> out(static_cast<std::size_t>(seconds * rate_hz));
  for (std::size_t n = 0; n < out.size(); ++n)
    out[n] = static_cast<float>(std::sin(2.0 * std::numbers::pi * hz * static_cast<double>(n) / rate_hz));
  return out;
}

TEST(RateChanger, KeepsASineAtEveryRate) {
  for (const double rate_hz : {8000.0, 11025.0, 44100.0, 48000.0, 192000.0}) {
    const auto out = at_song_rate(sine(1000.0, rate_hz, 0.5), rate_hz);
    ASSERT_NEAR(static_cast<double>(out.size()), 6000.0, 30.0) << rate_hz;
    for (std::size_t n = 100; n + 100 < out.size(); ++n)
      ASSERT_NEAR(out[n], std::sin(2.0 * std::numbers::pi * 1000.0 * static_cast<double>(n) / kSongRate_hz), 2e-3)
          << rate_hz << ' ' << n;
  }
}

TEST(RateChanger, LetsNothingFoldDown) {
  const auto out = at_song_rate(sine(9000.0, 48000.0, 0.5), 48000.0);
  for (std::size_t n = 100; n + 100 < out.size(); ++n) ASSERT_LT(std::abs(out[n]), 1e-3);
}

TEST(RateChanger, TakesWhatIsNoNumberForSilenceAndMixesTwoChannels) {
  RateChanger changer({.sample_rate_hz = 12000.0, .channels = 2});
  std::vector<float> frames(2400, 0.5F);
  for (std::size_t i = 1; i < frames.size(); i += 2) frames[i] = -0.5F;
  frames[700] = NAN;
  int count = 0;
  changer.process(frames, [&](float sample) {
    ++count;
    ASSERT_LT(std::abs(sample), 0.6F);
  });
  EXPECT_GT(count, 1100);
}

TEST(PhaseCorrelator, FindsADelayBetweenSamplesAndThePolarity) {
  std::mt19937 random(5);
  std::normal_distribution<float> gaussian(0.0F, 0.1F);
  std::vector<float> noise(9000);
  for (float& sample : noise) sample = gaussian(random);
  PhaseCorrelator correlator;
  std::vector<float> turned = noise;
  for (float& sample : turned) sample = -sample;
  ASSERT_TRUE(correlator.set_tape(turned, 4500.0 / kSongRate_hz));
  const SincTable table;
  const auto reference = correlator.reference();
  for (std::size_t n = 0; n < reference.size(); ++n)
    reference[n] = table.at(noise, 4500.0 + static_cast<double>(n) - 2048.0 - 17.3);
  std::array<DelayPeak, 2 * PhaseCorrelator::kPeaks> peaks;
  ASSERT_GT(correlator.correlate(0.01, peaks), 0u);
  EXPECT_TRUE(peaks[0].inverted);
  EXPECT_NEAR(peaks[0].delay_s * kSongRate_hz, 17.3, 0.15);  // a parabola's bias between samples
  EXPECT_GT(peaks[0].z, 20.0);
  std::array<float, 61> curve{};
  ASSERT_TRUE(correlator.curve(curve));
  EXPECT_EQ(std::min_element(curve.begin(), curve.end()) - curve.begin(), 30 + 17);
}

TEST(PhaseCorrelator, HasNoCurveWhereTheReferenceIsSilent) {
  std::vector<float> sound(5000, 0.1F);
  for (std::size_t n = 0; n < sound.size(); n += 2) sound[n] = -0.1F;
  PhaseCorrelator correlator;
  ASSERT_TRUE(correlator.set_tape(sound, 0.2));
  for (float& sample : correlator.reference()) sample = 0.0F;
  std::array<float, 61> curve{};
  curve.fill(1.0F);
  EXPECT_FALSE(correlator.curve(curve));
  EXPECT_EQ(*std::max_element(curve.begin(), curve.end()), 0.0F);
}

// Two noises have nothing in common: z is a standard normal, of which the largest of 240 values passes 5 hardly ever.
TEST(PhaseCorrelator, HoldsChanceBelowFive) {
  std::mt19937 random(6);
  std::normal_distribution<float> gaussian(0.0F, 0.1F);
  PhaseCorrelator correlator;
  for (int round = 0; round < 50; ++round) {
    std::vector<float> noise(5000);
    for (float& sample : noise) sample = gaussian(random);
    ASSERT_TRUE(correlator.set_tape(noise, 0.2));
    for (float& sample : correlator.reference()) sample = gaussian(random);
    std::array<DelayPeak, 2 * PhaseCorrelator::kPeaks> peaks;
    ASSERT_GT(correlator.correlate(0.01, peaks), 0u);
    EXPECT_LT(peaks[0].z, 5.0);
  }
}

TEST(SongPrint, AgreesWithItselfAndNotWithAnother) {
  const auto one = at_song_rate(scenes::play_piece(Manner::band, 20.0, 1, {.seed = 1}), kPieceRate_hz);
  const auto two = at_song_rate(scenes::play_piece(Manner::band, 20.0, 2, {.seed = 2}), kPieceRate_hz);
  SongSpectra first{std::span<const float>(one)};
  SongSpectra second{std::span<const float>(two)};
  const auto words = first.words(1.0);
  EXPECT_DOUBLE_EQ(agreement(words, words, 1), 1.0);
  EXPECT_NEAR(agreement(words, second.words(1.0), 1), 0.5, 0.05);
}

// Sanitizers take ten times as long, and the figures are the same: there a few of each are enough.
#if defined(FOUR76_SANITIZED)
constexpr std::array<double, 1> kRates{2.2};
constexpr std::array<Manner, 3> kPlayed{Manner::chords, Manner::loop, Manner::flute};
#else
constexpr std::array<double, 6> kRates{0.45, 0.8, 1.5, 2.2, 3.0, 3.4};
constexpr std::array<Manner, 12> kPlayed{Manner::chords, Manner::melody,       Manner::drums_and_bass, Manner::noisy,
                                         Manner::loop,   Manner::drum_machine, Manner::flute,          Manner::piano,
                                         Manner::pad,    Manner::speech_like,  Manner::plucked,        Manner::band};
#endif

class SongWowAt : public testing::TestWithParam<double> {};

// A sinusoid of 0.3 % peak is 0.212 % RMS, whatever its rate.
TEST_P(SongWowAt, IsWhatTheTapeHas) {
  const auto piece = scenes::play_piece(Manner::band, 80.0, 31, {.seed = 3});
  SongTape tape;
  tape.error_percent = -1.5;
  tape.wow = {{GetParam(), 0.3, 1.0}};
  tape.from_s = 18.0;
  tape.seconds = 40.0;
  tape.rate_hz = 22050.0;
  tape.signal_to_noise_db = 20.0;
  tape.reverberation_s = 0.2;
  const auto match = match_song(at_song_rate(piece, kPieceRate_hz), at_song_rate(record(piece, tape), tape.rate_hz));
  ASSERT_TRUE(match && match->fit && match->fit->wow_rms_percent);
  EXPECT_NEAR(*match->fit->wow_rms_percent, 0.3 / std::numbers::sqrt2, 0.05 * 0.3 / std::numbers::sqrt2);
  EXPECT_NEAR(*match->fit->wow_rms_percent, 0.3 / std::numbers::sqrt2, *match->fit->wow_rms_u95_percent);
}

INSTANTIATE_TEST_SUITE_P(Rates, SongWowAt, testing::ValuesIn(kRates));

class MatchedSong : public testing::TestWithParam<Manner> {};

TEST_P(MatchedSong, TellsTheSpeedFromThirtySeconds) {
  const auto piece = scenes::play_piece(GetParam(), 70.0, 21, {.seed = 3});
  SongTape tape;
  tape.error_percent = 4.321;
  tape.wow = {{0.7, 0.2, 1.0}, {6.0, 0.15, 2.0}};
  tape.from_s = 18.0;
  tape.seconds = 30.0;
  tape.rate_hz = 22050.0;
  tape.inverted = true;
  const auto match = match_song(at_song_rate(piece, kPieceRate_hz), at_song_rate(record(piece, tape), tape.rate_hz));
  ASSERT_TRUE(match);
  ASSERT_EQ(match->status, SongStatus::matched) << name_of(GetParam());
  EXPECT_NEAR(match->fit->speed_error_percent, 4.321, 0.005);
  EXPECT_NEAR(match->fit->speed_error_percent, 4.321, 2.0 * match->fit->u95_percent);
  EXPECT_NEAR(match->fit->start_s, 18.0, 0.002);
  EXPECT_LT(match->fit->u95_percent, 0.005);
}

INSTANTIATE_TEST_SUITE_P(Manners, MatchedSong, testing::ValuesIn(kPlayed),
                         [](const auto& name) { return std::string(scenes::name_of(name.param)); });

TEST(SongMatch, RefusesAnotherSongNoiseAndAToneAndAnotherPerformance) {
  const auto reference = at_song_rate(scenes::play_piece(Manner::band, 70.0, 31, {.seed = 3}), kPieceRate_hz);
  SongTape tape;
  tape.from_s = 10.0;
  tape.seconds = 30.0;
  tape.rate_hz = 12000.0;
  const auto other = scenes::play_piece(Manner::band, 70.0, 32, {.seed = 4});
  EXPECT_NE(match_song(reference, record(other, tape))->status, SongStatus::matched);
  const auto again = scenes::play_piece(Manner::band, 70.0, 31, {.seed = 5, .timing_s = 0.008, .pitch_cents = 4.0});
  const auto played_again = match_song(reference, record(again, tape));
  EXPECT_NE(played_again->status, SongStatus::matched);
  EXPECT_LT(played_again->fit ? played_again->fit->held_share : 0.0, 0.1);
  EXPECT_NE(match_song(reference, sine(440.0, kSongRate_hz, 30.0))->status, SongStatus::matched);
  std::mt19937 random(7);
  std::normal_distribution<float> gaussian(0.0F, 0.1F);
  std::vector<float> noise(360000);
  for (float& sample : noise) sample = gaussian(random);
  EXPECT_NE(match_song(reference, noise)->status, SongStatus::matched);
}

TEST(SongMatch, SaysWhyItDoesNotTry) {
  const auto reference = sine(440.0, kSongRate_hz, 20.0);
  const auto brief = match_song(reference, sine(440.0, kSongRate_hz, 4.0));
  ASSERT_EQ(brief->reasons.size(), 1u);
  EXPECT_EQ(brief->reasons[0], SongReason::too_short);
  const auto silent = match_song(reference, std::vector<float>(240000));
  ASSERT_EQ(silent->reasons.size(), 1u);
  EXPECT_EQ(silent->reasons[0], SongReason::too_quiet);
}

TEST(SongMatch, CanBeGivenUp) {
  const auto piece = at_song_rate(scenes::play_piece(Manner::band, 20.0, 31, {.seed = 3}), kPieceRate_hz);
  EXPECT_FALSE(match_song(piece, piece, [](double) { return false; }));
}

TEST(SongSession, LocksWithinEightSecondsAndReadsTheSpeed) {
  const auto piece = scenes::play_piece(Manner::band, 90.0, 41, {.seed = 3});
  SongTape tape;
  tape.error_percent = -2.5;
  tape.from_s = 40.0;
  tape.seconds = 16.0;
  tape.rate_hz = 24000.0;
  tape.wow = {{5.0, 0.1, 0.5}};
  SongSession session({.sample_rate_hz = tape.rate_hz}, at_song_rate(piece, kPieceRate_hz));
  const auto sound = record(piece, tape);
  std::optional<double> locked_s;
  std::vector<double> readings;
  std::uint64_t dials = 0;
  for (std::size_t at = 0; at + 480 <= sound.size(); at += 480) {
    session.process(std::span(sound).subspan(at, 480));
    if (session.dial_count() == dials) continue;
    dials = session.dial_count();
    const bool measured = session.dial().status == Status::measured;
    if (measured && !locked_s) locked_s = session.time_s();
    if (!locked_s || session.time_s() <= *locked_s + 1.0) continue;
    ASSERT_TRUE(measured) << session.time_s();
    readings.push_back(*session.dial().speed_error_percent);
  }
  ASSERT_TRUE(locked_s);
  EXPECT_LT(*locked_s, 8.0);
  ASSERT_GT(readings.size(), 130u);  // 20 a second from the ninth second on
  for (const double reading : readings) EXPECT_NEAR(reading, -2.5, 0.1);
  ASSERT_TRUE(session.position_s());
  EXPECT_NEAR(*session.position_s(), 40.0 + 0.975 * session.time_s(), 0.02);
}

// Sustained chords agree with themselves at every period of a note: the hardest to follow. A turn of the trimmer, a
// stop, and the tape wound back.
TEST(SongSession, FollowsChordsThroughATurnAndAStop) {
  const auto piece = scenes::play_piece(Manner::chords, 60.0, 61, {.seed = 3});
  SongTape tape;
  tape.rate_hz = 24000.0;
  tape.wow = {{2.3, 0.07, 1.0}, {9.6, 0.08, 0.4}};
  const auto play = [&](double percent, double from_s, double seconds) {
    tape.error_percent = percent;
    tape.from_s = from_s;
    tape.seconds = seconds;
    return record(piece, tape);
  };
  auto sound = play(-1.2, 20.0, 12.0);
  for (const auto& part : {play(-0.2, 20.0 + 0.988 * 12.0, 8.0), std::vector<float>(48000), play(-0.2, 6.0, 9.0)})
    sound.insert(sound.end(), part.begin(), part.end());
  SongSession session({.sample_rate_hz = tape.rate_hz}, at_song_rate(piece, kPieceRate_hz));
  std::optional<double> turned_s;
  std::optional<double> again_s;
  bool was_lost = false;
  for (std::size_t at = 0; at + 480 <= sound.size(); at += 480) {
    session.process(std::span(sound).subspan(at, 480));
    const double time_s = session.time_s();
    const Reading& dial = session.dial();
    const bool measured = dial.status == Status::measured;
    if (time_s > 9.0 && time_s < 11.9) {
      ASSERT_TRUE(measured) << time_s;
      ASSERT_NEAR(*dial.speed_error_percent, -1.2, 0.1) << time_s;
    }
    if (time_s > 12.0 && time_s < 19.9 && measured && !turned_s && std::abs(*dial.speed_error_percent + 0.2) < 0.1)
      turned_s = time_s;
    if (time_s > 14.0 && time_s < 19.9) {
      ASSERT_TRUE(measured) << time_s;
      ASSERT_NEAR(*dial.speed_error_percent, -0.2, 0.1) << time_s;
    }
    if (time_s > 22.5 && session.position_s()) {  // not where it was before the stop
      ASSERT_NEAR(*session.position_s(), 6.0 + 0.998 * (time_s - 22.0), 0.05) << time_s;
    }
    if (time_s > 21.4 && time_s < 22.0) was_lost = was_lost || session.state() == SongState::lost;
    if (time_s > 22.0 && measured && !again_s) again_s = time_s;
  }
  ASSERT_TRUE(turned_s);
  EXPECT_LT(*turned_s, 13.5);
  EXPECT_TRUE(was_lost);
  ASSERT_TRUE(again_s);
  EXPECT_LT(*again_s, 30.0);
  EXPECT_NEAR(*session.position_s(), 6.0 + 0.998 * (session.time_s() - 22.0), 0.02);
}

// The drums of two pieces sound alike and fall together often: no place of the one is the other.
TEST(SongSession, SaysNothingOfOtherDrumsAtTheSameBeat) {
  const auto piece = at_song_rate(scenes::play_piece(Manner::drum_machine, 40.0, 791, {.seed = 5}), kPieceRate_hz);
  const auto other = at_song_rate(scenes::play_piece(Manner::drum_machine, 25.0, 4427, {.seed = 9}), kPieceRate_hz);
  SongSession session({.sample_rate_hz = kSongRate_hz}, piece);
  for (std::size_t at = 0; at + 240 <= other.size(); at += 240) {
    session.process(std::span(other).subspan(at, 240));
    ASSERT_FALSE(session.dial().speed_error_percent);
  }
}

TEST(RateChanger, TurnsOneChannelOverWhereTheyAreOpposed) {
  const auto piece = scenes::play_piece(Manner::band, 3.0, 71, {.seed = 3});
  std::vector<float> frames;
  for (const float sample : piece) {
    frames.push_back(sample);
    frames.push_back(-0.8F * sample);
  }
  RateChanger changer({.sample_rate_hz = kPieceRate_hz, .channels = 2});
  std::vector<float> out;
  changer.process(frames, [&](float sample) { out.push_back(sample); });
  const auto alone = at_song_rate(piece, kPieceRate_hz);
  for (std::size_t n = 12000; n < out.size(); ++n) ASSERT_NEAR(out[n], 0.9F * alone[n], 1e-4F);
}

TEST(SongSession, SaysNothingOfAnotherSong) {
  const auto piece = scenes::play_piece(Manner::piano, 60.0, 51, {.seed = 3});
  const auto other = at_song_rate(scenes::play_piece(Manner::piano, 20.0, 52, {.seed = 4}), kPieceRate_hz);
  SongSession session({.sample_rate_hz = kSongRate_hz}, at_song_rate(piece, kPieceRate_hz));
  for (std::size_t at = 0; at + 240 <= other.size(); at += 240) {
    session.process(std::span(other).subspan(at, 240));
    ASSERT_FALSE(session.dial().speed_error_percent);
  }
}

}  // namespace
}  // namespace four76
