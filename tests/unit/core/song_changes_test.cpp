// What is heard while a song is followed is no longer that song, or elsewhere in it: the likeness that tells, another
// song of the same sustained sounds put in, the tape wound, somebody talking over the music.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <random>
#include <span>
#include <string>
#include <vector>

#include "core/song/song_likeness.hpp"
#include "core/song/song_session.hpp"
#include "tests/scenes/song_pieces.hpp"
#include "tests/scenes/song_tape.hpp"

namespace four76 {
namespace {

using scenes::kPieceRate_hz;
using scenes::Manner;
using scenes::SongTape;

constexpr double kTurn_s = 0.05;

std::vector<float> piece_of(Manner manner, std::uint64_t score, double seconds) {
  return scenes::at_song_rate(scenes::play_piece(manner, seconds, score, {.seed = 3}), kPieceRate_hz);
}

// So many turns of the tape from its own time on, held against the reference from another.
void hear(SongLikeness& likeness, std::span<const float> tape, double from_s, std::span<const float> reference,
          double place_s, int turns) {
  SongWindow window(reference);
  for (int turn = 0; turn < turns; ++turn) {
    ASSERT_TRUE(window.set_tape(tape, 0.0, from_s + turn * kTurn_s));
    static_cast<void>(window.peaks(place_s + turn * kTurn_s, 1.0, 0.0));
    likeness.hear(window.tape_spectrum(), window.reference_spectrum());
  }
}

class Likeness : public testing::TestWithParam<Manner> {};

TEST_P(Likeness, IsOfTheSameMusicAndNotOfAnotherNorOfNoiseNorElsewhere) {
  const auto reference = piece_of(GetParam(), 71, 30.0);
  const auto other = piece_of(GetParam(), 72, 30.0);
  std::mt19937 random(1);
  std::normal_distribution<float> gaussian(0.0F, 0.05F);
  std::vector<float> noise(other.size());
  for (float& sample : noise) sample = gaussian(random);
  for (const auto& [tape, from_s] : {std::pair{&other, 14.0}, {&noise, 14.0}, {&reference, 20.3}}) {
    SongLikeness likeness;
    hear(likeness, reference, 4.0, reference, 4.0, 200);
    EXPECT_TRUE(likeness.is_alike());
    EXPECT_TRUE(likeness.seems_alike());
    bool was_doubted = false;
    for (int turn = 0; turn < 30; ++turn) {
      hear(likeness, *tape, from_s + turn * kTurn_s, reference, 14.0 + turn * kTurn_s, 1);
      was_doubted = was_doubted || (turn < 20 && !likeness.seems_alike());
    }
    EXPECT_TRUE(was_doubted);
    EXPECT_FALSE(likeness.is_alike());
  }
}

// A worn machine: quiet, dull, and hiss 15 dB below the music.
TEST_P(Likeness, DoesNotMindLevelColourAndHiss) {
  const auto reference = piece_of(GetParam(), 71, 30.0);
  std::mt19937 random(1);
  std::normal_distribution<float> gaussian(0.0F, 0.1F * 0.178F);
  std::vector<float> tape(reference);
  float state = 0.0F;
  for (float& sample : tape) sample = 0.01F * (state = 0.7F * state + 0.3F * (sample + gaussian(random)));
  SongLikeness likeness;
  hear(likeness, tape, 4.0, reference, 4.0, 60);
  for (int turn = 60; turn < 400; ++turn) {
    hear(likeness, tape, 4.0 + turn * kTurn_s, reference, 4.0 + turn * kTurn_s, 1);
    ASSERT_TRUE(likeness.is_alike()) << turn;
  }
}

INSTANTIATE_TEST_SUITE_P(Manners, Likeness,
                         testing::Values(Manner::pad, Manner::band, Manner::loop, Manner::drum_machine),
                         [](const auto& name) { return std::string(scenes::name_of(name.param)); });

TEST(SongLikeness, SaysNothingAgainstATrailThatItHasHardlyHeard) {
  const auto reference = piece_of(Manner::band, 71, 10.0);
  SongLikeness likeness;
  hear(likeness, piece_of(Manner::band, 72, 10.0), 4.0, reference, 4.0, 6);
  EXPECT_TRUE(likeness.is_alike());
  EXPECT_TRUE(likeness.seems_alike());
}

constexpr double kChanged_s = 11.0, kError = -1.2;

struct Told {
  double last_s = 0.0;            // a number, after the change
  std::optional<double> again_s;  // the first one after a void of a second
  int wrong = 0;                  // by more than its u95 and what a portable's wow leaves
  int given = 0;
};

// The tape plays `piece` from 20 s on and then, without a pause, `next` from next_s on.
Told told_of(std::span<const float> piece, std::span<const float> next, double next_s, double seconds,
             std::span<const float> talk = {}) {
  SongTape tape;
  tape.rate_hz = 12000.0;
  tape.signal_to_noise_db = 18.0;
  tape.reverberation_s = 0.4;
  tape.wow = {{2.3, 0.07, 1.0}, {9.6, 0.08, 0.4}};
  tape.error_percent = kError;
  tape.from_s = 20.0;
  tape.seconds = kChanged_s;
  auto sound = record(piece, tape);
  tape.from_s = next_s;
  tape.seconds = seconds;
  auto after = record(next, tape);
  for (std::size_t n = 0; n < std::min(after.size(), talk.size()); ++n) after[n] += 0.5F * talk[n];
  sound.insert(sound.end(), after.begin(), after.end());
  SongSession session({.sample_rate_hz = tape.rate_hz}, scenes::at_song_rate(piece, kPieceRate_hz));
  Told told;
  bool was_measured = false;
  for (std::size_t at = 0; at + 600 <= sound.size(); at += 600) {
    session.process(std::span(sound).subspan(at, 600));
    const Reading& dial = session.dial();
    const double since_s = session.time_s() - kChanged_s;
    if (dial.status != Status::measured) continue;
    if (since_s < 0.0) {
      was_measured = true;
      continue;
    }
    const double off = std::abs(*dial.speed_error_percent - kError);
    told.wrong += off > *dial.u95_percent + 0.1 ? 1 : 0;
    if (since_s > told.last_s + 1.0 && !told.again_s) told.again_s = since_s;
    told.last_s = since_s;
    ++told.given;
  }
  EXPECT_TRUE(was_measured);
  return told;
}

// Sustained chords of the same tuning agree here and there for as long as they sound: numbers were given for 16 s.
TEST(SongSession, LetsGoWhenOtherSustainedChordsFollow) {
  for (const std::uint64_t score : {73u, 79u}) {
    const auto piece = scenes::play_piece(Manner::pad, 40.0, score * 131 + 8, {.seed = 5});
    const auto other = scenes::play_piece(Manner::pad, 40.0, score * 737 + 8, {.seed = 9});
    const Told told = told_of(piece, other, 20.0, 10.0);
    EXPECT_LT(told.last_s, 2.0) << score;
    EXPECT_EQ(told.wrong, 0) << score;
  }
}

class Wound : public testing::TestWithParam<Manner> {};

// What was heard before the jump is no part of the search for the new place.
TEST_P(Wound, IsFoundAgainWithinEightSecondsAndNothingWrongIsTold) {
  const auto piece =
      scenes::play_piece(GetParam(), 70.0, 72 * 131 + static_cast<std::uint64_t>(GetParam()), {.seed = 5});
  const double at_s = 20.0 + kChanged_s * (1.0 + 0.01 * kError);
  for (const double next_s : {at_s - 18.0, at_s - 2.7, at_s + 16.3}) {
    const Told told = told_of(piece, piece, next_s, 9.0);
    EXPECT_EQ(told.wrong, 0) << next_s;
    EXPECT_LT(told.again_s.value_or(99.0), 8.0) << next_s;
  }
}

INSTANTIATE_TEST_SUITE_P(Manners, Wound, testing::Values(Manner::loop, Manner::drums_and_bass, Manner::pad),
                         [](const auto& name) { return std::string(scenes::name_of(name.param)); });

TEST(SongSession, GoesOnWhileSomebodyTalksOverTheMusic) {
  const auto piece = scenes::play_piece(Manner::drums_and_bass, 50.0, 76, {.seed = 5});
  SongTape tape;
  tape.rate_hz = 12000.0;
  tape.signal_to_noise_db = 40.0;
  tape.seconds = 9.0;
  const auto talk = record(scenes::play_piece(Manner::speech_like, 40.0, 99, {.seed = 12}), tape);
  const Told told = told_of(piece, piece, 20.0 + kChanged_s * (1.0 + 0.01 * kError), 9.0, talk);
  EXPECT_GT(told.given, 165);  // of 180
  EXPECT_EQ(told.wrong, 0);
}

}  // namespace
}  // namespace four76
