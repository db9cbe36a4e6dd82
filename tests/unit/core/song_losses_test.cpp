// Lost samples of a song that is followed: what is taken for them, what is not, and what the dial says of them.
#include "core/song/song_losses.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <vector>

#include "core/song/song_session.hpp"
#include "tests/scenes/song_pieces.hpp"
#include "tests/scenes/song_tape.hpp"

namespace four76 {
namespace {

constexpr double kRate_hz = 48000.0;
constexpr double kSure = 90.0, kUnsure = 40.0;  // scores: of drums, of chords

std::vector<float> noise(double seconds, unsigned seed) {
  std::mt19937 random(seed);
  std::normal_distribution<float> gaussian(0.0F, 0.1F);
  std::vector<float> samples(static_cast<std::size_t>(seconds * kRate_hz));
  for (float& sample : samples) sample = gaussian(random);
  return samples;
}

TEST(SongLosses, AreRunsOfExactZeros) {
  SongLosses losses(kRate_hz);
  std::vector<float> sound = noise(2.0, 1);
  losses.hear(sound, 1);
  EXPECT_FALSE(losses.lost_lately(2.0));
  std::fill_n(sound.begin() + 40'000, 128, 0.0F);
  losses.hear(sound, 1);
  EXPECT_TRUE(losses.lost_lately(4.0));
  EXPECT_FALSE(losses.lost_lately(9.0));
  losses.reset();
  EXPECT_FALSE(losses.lost_lately(4.0));
}

TEST(SongLosses, AreNotSilenceBeforeAnySound) {
  SongLosses losses(kRate_hz);
  losses.hear(std::vector<float>(48'000), 1);
  losses.hear(noise(1.0, 2), 1);
  EXPECT_FALSE(losses.lost_lately(2.0));
}

TEST(SongLosses, AreASingleStepWhereTheMusicLeavesNoDoubt) {
  SongLosses losses(kRate_hz);
  losses.take({10.0, 0.0, 0.008, kSure});
  EXPECT_TRUE(losses.lost_lately(10.5));
}

// A chord's trail goes to another of its places and comes back.
TEST(SongLosses, AreNotAWrongPlaceThatIsLeftAgain) {
  SongLosses losses(kRate_hz);
  losses.take({9.0, 0.0, 0.00676, kUnsure});
  losses.take({9.55, 0.00676, 0.00026, kUnsure});
  losses.take({10.85, 0.00026, -0.00986, kUnsure});
  losses.take({11.4, -0.00986, 0.0003, kUnsure});
  EXPECT_FALSE(losses.lost_lately(11.5));
}

TEST(SongLosses, AreThreeStepsInARowToNewPlaces) {
  SongLosses losses(kRate_hz);
  losses.take({9.0, 0.0, 0.007, kUnsure});
  losses.take({10.0, 0.007, 0.011, kUnsure});
  EXPECT_FALSE(losses.lost_lately(10.0));
  losses.take({11.5, 0.011, 0.023, kUnsure});
  EXPECT_TRUE(losses.lost_lately(11.5));
}

// ---- While it is followed ------------------------------------------------------------------------------------------

constexpr double kPercent = 1.2;

struct Heard {
  int measured = 0, accused = 0, off = 0;
  double first_s = 0.0, last_s = 0.0;  // of what was accused
};

scenes::SongTape a_tape() {
  scenes::SongTape tape;
  tape.error_percent = kPercent;
  tape.from_s = 12.0;
  tape.seconds = 26.0;
  tape.signal_to_noise_db = 18.0;
  tape.reverberation_s = 0.4;
  return tape;
}

std::vector<float> piece_of(scenes::Manner manner) { return scenes::play_piece(manner, 60.0, 17, {.seed = 5}); }

// `off`: numbers farther from the truth than a tenth of a percent and than they claim, before samples are known to have
// been lost.
Heard heard_of(const std::vector<float>& captured, const std::vector<float>& piece) {
  SongSession session({.sample_rate_hz = kRate_hz}, scenes::at_song_rate(piece, scenes::kPieceRate_hz));
  Heard heard;
  std::uint64_t dials = 0;
  for (std::size_t at = 0; at + 480 <= captured.size(); at += 480) {
    session.process(std::span(captured).subspan(at, 480));
    if (session.dial_count() == dials) continue;
    dials = session.dial_count();
    const Reading& dial = session.dial();
    const bool accuses = dial.reasons.contains(Reason::capture_gap);
    if (accuses && heard.accused++ == 0) heard.first_s = session.time_s();
    if (accuses) heard.last_s = session.time_s();
    if (dial.status != Status::measured) continue;
    ++heard.measured;
    const double off = std::abs(*dial.speed_error_percent - kPercent);
    if (!accuses && off > std::max(0.1, *dial.u95_percent)) ++heard.off;
  }
  return heard;
}

// Of a tape of drums; from the fifteenth second on, `length` samples are left out every second and a half, or zeros are
// put in.
Heard followed(std::size_t lost, std::size_t zeros) {
  const auto piece = piece_of(scenes::Manner::drum_machine);
  const auto sound = scenes::record(piece, a_tape());
  std::vector<float> captured;
  for (std::size_t at = 0, next = 15 * 48'000; at < sound.size(); ++at) {
    if (at == next) {
      at += lost;
      captured.insert(captured.end(), zeros, 0.0F);
      next = at + 72'000;
    }
    if (at < sound.size()) captured.push_back(sound[at]);
  }
  return heard_of(captured, piece);
}

// Up to a time so many of each `block` samples are left out.
Heard of_blocks(scenes::Manner manner, std::size_t block, std::size_t lost, double until_s) {
  const auto piece = piece_of(manner);
  scenes::SongTape tape = a_tape();
  tape.wow = {{0.8, 0.1, 1.0}, {9.6, 0.1, 2.0}};
  const auto sound = scenes::record(piece, tape);
  std::vector<float> captured;
  for (std::size_t at = 0; at < sound.size(); ++at)
    if (at % block >= lost || static_cast<double>(at) > until_s * kRate_hz) captured.push_back(sound[at]);
  return heard_of(captured, piece);
}

TEST(SongSession, AccusesNoSoundDevice) {
  const Heard heard = followed(0, 0);
  EXPECT_GT(heard.measured, 370);  // of 390 behind the lock
  EXPECT_EQ(heard.accused, 0);
  EXPECT_EQ(heard.off, 0);
}

TEST(SongSession, StepsOverWhatADeviceLosesAndSaysSo) {
  const Heard heard = followed(500, 0);
  EXPECT_GT(heard.accused, 60);
  EXPECT_GT(heard.measured, 200);
  EXPECT_EQ(heard.off, 0);
}

TEST(SongSession, StepsOverZerosThatABrowserPutsInAndSaysSo) {
  const Heard heard = followed(0, 1024);
  EXPECT_GT(heard.accused, 150);
  EXPECT_GT(heard.measured, 250);
  EXPECT_EQ(heard.off, 0);
}

TEST(SongSession, NoticesAFewSamplesLostOfEachBlockAndThatTheDeviceRecovers) {
  const Heard heard = of_blocks(scenes::Manner::band, 2048, 5, 17.0);
  EXPECT_GT(heard.first_s, 10.0);
  EXPECT_LT(heard.first_s, 15.0);
  EXPECT_GT(heard.last_s, 17.0);
  EXPECT_LT(heard.last_s, 25.0);
}

TEST(SongSession, NoticesAFewSamplesLostTenTimesASecond) {
  const Heard heard = of_blocks(scenes::Manner::piano, 4096, 8, 1e9);
  EXPECT_LT(heard.first_s, 15.0);
  EXPECT_GT(heard.last_s, 25.0);
  EXPECT_GT(heard.accused, 200);
}

// Its hits move alike each time, at the period of the beat.
TEST(SongSession, AccusesNoDrumMachineOnAMachineThatWows) {
  const Heard heard = of_blocks(scenes::Manner::drum_machine, 2048, 0, 0.0);
  EXPECT_GT(heard.measured, 300);
  EXPECT_EQ(heard.accused, 0);
}

}  // namespace
}  // namespace four76
