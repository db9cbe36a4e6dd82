// Songs captured by a device that loses samples: it is noticed, and never a wrong figure without a word.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

#include "core/song/song_match.hpp"
#include "tests/scenes/song_pieces.hpp"
#include "tests/scenes/song_tape.hpp"

namespace four76 {
namespace {

using scenes::at_song_rate;
using scenes::kPieceRate_hz;
using scenes::Manner;
using scenes::SongTape;

constexpr double kRate_hz = 48000.0;

std::vector<float> hiss(std::size_t count) {
  std::mt19937 random(3);
  std::normal_distribution<float> gaussian(0.0F, 0.1F);
  std::vector<float> out(count);
  for (float& sample : out) sample = gaussian(random);
  return out;
}

LostSamples losses_of(std::span<const float> samples, int channels = 1) {
  TapeLosses losses(kRate_hz, channels);
  losses.process(samples);
  return losses.found();
}

TEST(TapeLosses, FindsZerosWhileItSoundsAndNoPauses) {
  std::vector<float> samples = hiss(96000);
  EXPECT_EQ(losses_of(samples).places, 0);
  for (const std::size_t at : {10000U, 30000U, 50000U}) std::fill_n(samples.begin() + at, 441, 0.0F);
  std::fill_n(samples.begin() + 60000, 30000, 0.0F);
  const LostSamples found = losses_of(samples);
  EXPECT_EQ(found.places, 3);
  EXPECT_NEAR(found.seconds, 3.0 * 441.0 / kRate_hz, 1e-9);
}

TEST(TapeLosses, FindsZerosOfAllChannelsOnly) {
  std::vector<float> frames = hiss(96000);
  for (std::size_t i = 20000; i < 21000; i += 2) frames[i] = 0.0F;
  EXPECT_EQ(losses_of(frames, 2).places, 0);
  std::fill_n(frames.begin() + 40000, 1000, 0.0F);
  EXPECT_EQ(losses_of(frames, 2).places, 1);
}

TEST(TapeLosses, FindsBlocksThatArePlayedTwiceAndNoPeriodicSound) {
  std::vector<float> samples = hiss(96000);
  for (const std::size_t at : {20000U, 50000U}) {
    const std::vector<float> block(samples.begin() + at, samples.begin() + at + 1024);
    samples.insert(samples.begin() + at, block.begin(), block.end());
  }
  const LostSamples found = losses_of(samples);
  EXPECT_EQ(found.places, 2);
  EXPECT_NEAR(found.seconds, 2048.0 / kRate_hz, 1e-3);
  std::vector<float> periodic(96000);
  for (std::size_t n = 0; n < periodic.size(); ++n) periodic[n] = samples[n % 120];
  EXPECT_EQ(losses_of(periodic).places, 0);
}

// Quiet sound of 16 bits: its floats' lowest bits are all zero.
TEST(TapeLosses, FindsBlocksThatArePlayedTwiceInQuietSoundOf16Bits) {
  std::vector<float> samples = hiss(192000);
  float peak = 0.0F;
  for (const float sample : samples) peak = std::max(peak, std::abs(sample));
  for (float& sample : samples) sample = std::round(sample / peak * 0.015F * 32768.0F) / 32768.0F;
  for (const std::size_t at : {20000U, 50000U, 80000U, 110000U}) {
    const std::vector<float> block(samples.begin() + at, samples.begin() + at + 1024);
    samples.insert(samples.begin() + at, block.begin(), block.end());
  }
  EXPECT_EQ(losses_of(samples).places, 4);
}

// Half a minute of a tape of `manner`; so many of each `period` samples are dropped.
SongMatch of_device(Manner manner, std::size_t period, std::size_t dropped, bool zeros = false) {
  const auto piece = scenes::play_piece(manner, 60.0, 41, {.seed = 3});
  SongTape tape;
  tape.error_percent = 2.5;
  tape.wow = {{0.9, 0.1, 1.0}, {7.0, 0.1, 2.0}};
  tape.from_s = 10.0;
  tape.seconds = 30.0;
  tape.rate_hz = kRate_hz;
  tape.signal_to_noise_db = 15.0;
  tape.reverberation_s = 0.3;
  const std::vector<float> played = record(piece, tape);
  std::vector<float> captured;
  for (std::size_t n = 0; n < played.size(); ++n) {
    const bool here = n % period < dropped;
    if (zeros && n > 0 && n % period == 0) captured.insert(captured.end(), dropped, 0.0F);
    if (zeros || !here) captured.push_back(played[n]);
  }
  return *match_song(at_song_rate(piece, kPieceRate_hz), at_song_rate(captured, kRate_hz), {}, losses_of(captured));
}

bool says_so(const SongMatch& match) {
  return std::find(match.reasons.begin(), match.reasons.end(), SongReason::capture_gap) != match.reasons.end();
}

class DroppedFrames : public testing::TestWithParam<Manner> {};

TEST_P(DroppedFrames, FiveOfEveryBlockAreNoticed) {
  const SongMatch match = of_device(GetParam(), 2048, 5);
  EXPECT_NE(match.status, SongStatus::matched) << match.fit->speed_error_percent;
  EXPECT_TRUE(says_so(match));
}

TEST_P(DroppedFrames, AnHonestDeviceIsNotAccused) {
  const SongMatch match = of_device(GetParam(), 2048, 0);
  EXPECT_EQ(match.status, SongStatus::matched);
  ASSERT_TRUE(match.fit);
  EXPECT_NEAR(match.fit->speed_error_percent, 2.5, 0.002);
  EXPECT_FALSE(says_so(match));
}

INSTANTIATE_TEST_SUITE_P(Manners, DroppedFrames, testing::Values(Manner::chords, Manner::drum_machine));

TEST(SongMatch, NoticesTenFramesDroppedFiveTimesASecond) {
  const SongMatch match = of_device(Manner::piano, 9600, 10);
  EXPECT_NE(match.status, SongStatus::matched) << match.fit->speed_error_percent;
  EXPECT_TRUE(says_so(match));
}

TEST(SongMatch, NoticesZerosThatAreTooShortForTheTrackToStepOver) {
  const SongMatch match = of_device(Manner::chords, 24000, 48, true);
  EXPECT_NE(match.status, SongStatus::matched) << match.fit->speed_error_percent;
  EXPECT_TRUE(says_so(match));
}

TEST(SongMatch, GivesUpWithinTheFirstPass) {
  const auto piece = at_song_rate(scenes::play_piece(Manner::band, 20.0, 31, {.seed = 3}), kPieceRate_hz);
  int asked = 0;
  double last = 0.0;
  EXPECT_TRUE(match_song(piece, piece, [&](double done) {
    EXPECT_GE(done, last);
    last = done;
    ++asked;
    return true;
  }));
  EXPECT_GT(asked, 6);
  EXPECT_LT(last, 1.0);
  for (const int stop_at : {3, asked}) {
    int left = stop_at;
    int after = 0;
    EXPECT_FALSE(match_song(piece, piece, [&](double) {
      after += left <= 0 ? 1 : 0;
      return --left > 0;
    }));
    EXPECT_EQ(after, 0);
  }
}

}  // namespace
}  // namespace four76
