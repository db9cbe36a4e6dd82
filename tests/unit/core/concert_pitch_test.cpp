// ConcertPitch on music of no composer whose tuning is known, and on what has none.
#include "core/tapes/pitch/concert_pitch.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

#include "tests/unit/core/tape_music.hpp"

namespace four76 {
namespace {

using test::Chords;
using test::played_chords;

// What TapeSession asks of music (core/tapes/tape_session.cpp).
constexpr double kLeastConcentration = 0.35;

std::optional<Tuning> tuning_of(std::span<const float> samples) {
  ConcertPitch pitch;
  test::for_partials(samples, [&](std::span<const Partial> frame) { pitch.add(frame); });
  return pitch.tuning();
}

Tuning tuning_of(const Chords& chords, double speed_error_percent = 0.0) {
  return tuning_of(played_chords(chords, speed_error_percent)).value_or(Tuning{});
}

double within_semitone(double cents) { return cents - 100.0 * std::round(cents / 100.0); }

// Twelve notes of the scale and their neighbours' noise, as a frame of partials; no sound is needed.
std::vector<Partial> frame_of_notes(test::Noise& noise, double cents, double sigma_cents) {
  std::vector<Partial> frame;
  for (int i = 0; i < 12; ++i)
    frame.push_back({.cents = cents + 100.0 * (3.0 * i - 12.0) + sigma_cents * noise(), .level = 1.0F, .age = 9});
  return frame;
}

TEST(ConcertPitch, ReadsTheTuningOfMusicWithinACent) {
  for (int cents = -40; cents <= 40; cents += 10) {
    const auto tuning = tuning_of({.cents = 1.0 * cents, .seed = static_cast<std::uint64_t>(100 + cents)});
    EXPECT_NEAR(tuning.cents, cents, 1.0);
    EXPECT_GT(tuning.concentration, 0.7) << cents;
    EXPECT_GT(tuning.heard_s, 20.0) << cents;
  }
}

// Fundamentals and octaves lie on the scale exactly: what is left is the measurement. The harmonics of third order lie
// 1.96 cents above it (derived: 1200 log2(3) - 1900), which no u95 of a measurement holds.
TEST(ConcertPitch, HoldsTheTruthInItsHalfWidth) {
  int held = 0, all = 0;
  for (int cents = -40; cents <= 40; cents += 8) {
    const auto tuning = tuning_of(
        {.seconds = 20.0, .cents = 1.0 * cents, .seed = static_cast<std::uint64_t>(300 + cents), .harmonics = 2});
    ++all;
    held += std::abs(tuning.cents - cents) <= tuning.u95_cents;
    EXPECT_LT(tuning.u95_cents, 1.0) << cents;
    EXPECT_NEAR(tuning.cents, cents, 0.3);
  }
  // Nineteen of twenty: of eleven, two and more miss in one of ten such tests (binomial, derived).
  EXPECT_GE(held, all - 2);
}

// Struck anew every five seconds.
TEST(ConcertPitch, ReadsASineWhereItLies) {
  for (const double hz : {317.0, 441.0, 445.0, 452.3, 1000.0, 3000.0}) {
    const auto x = test::tone(hz, 5.0, kSongRate_hz);
    ConcertPitch pitch;
    for (int i = 0; i < 4; ++i) test::for_partials(x, [&](std::span<const Partial> frame) { pitch.add(frame); });
    const auto tuning = pitch.tuning();
    ASSERT_TRUE(tuning) << hz;
    EXPECT_NEAR(tuning->cents, within_semitone(1200.0 * std::log2(hz / 440.0)), 0.05) << hz;
    EXPECT_GT(tuning->concentration, 0.99) << hz;
  }
}

TEST(ConcertPitch, IsNotDrawnOffTheScaleByJustHarmonics) {
  for (const int harmonics : {5, 8, 14, 24}) {
    const auto tuning = tuning_of({.seconds = 20.0, .cents = 7.0, .seed = 7, .harmonics = harmonics});
    EXPECT_NEAR(tuning.cents, 7.0, 1.5) << harmonics;
  }
}

TEST(ConcertPitch, TellsMusicFromWhatHasNoScale) {
  EXPECT_GT(tuning_of({.seconds = 20.0, .seed = 11}).concentration, 2.0 * kLeastConcentration);
  const auto concentration = [](std::span<const float> samples) {
    const auto tuning = tuning_of(samples);
    return tuning ? tuning->concentration : 0.0;
  };
  EXPECT_LT(concentration(test::voice(20.0, kSongRate_hz, 0.5, 12)), kLeastConcentration);
  std::vector<float> noise(test::frames_in(20.0, kSongRate_hz));
  test::add_noise(noise, 0.1, 13);
  EXPECT_LT(concentration(noise), kLeastConcentration);
  // From 300 to 1500 Hz in 20 s, with harmonics: 28 semitones, each as long as the other.
  const auto glide = [](double t) { return 300.0 * 20.0 / std::log(5.0) * (std::exp(std::log(5.0) * t / 20.0) - 1.0); };
  auto glides = test::sound_of(glide, 20.0, kSongRate_hz, 0.2);
  test::add(glides, test::sound_of([&](double t) { return 2.0 * glide(t); }, 20.0, kSongRate_hz, 0.1));
  EXPECT_LT(concentration(glides), kLeastConcentration);
}

// Steady notes, but on no scale: each as likely anywhere between two semitones.
TEST(ConcertPitch, FindsNoScaleInPitchesAtRandom) {
  test::Noise noise(17);
  std::vector<float> x;
  for (int note = 0; note < 80; ++note) {
    const auto one = test::tone(200.0 * std::exp2(3.0 * noise.uniform()), 0.35, kSongRate_hz, 0.2);
    x.insert(x.end(), one.begin(), one.end());
  }
  const auto tuning = tuning_of(x);
  ASSERT_TRUE(tuning);
  EXPECT_LT(tuning->concentration, kLeastConcentration);
}

// Of a speed tape, or the mains: no note lasts as long.
TEST(ConcertPitch, TakesNoSteadyToneForMusic) {
  for (auto x : {test::tone(1000.0, 30.0, kSongRate_hz), test::tone(3000.0, 30.0, kSongRate_hz),
                 test::tone(441.0, 30.0, kSongRate_hz), test::hum(50.0, 30.0, kSongRate_hz, 0.1)}) {
    test::add_noise(x, 1e-3, 19);
    EXPECT_FALSE(tuning_of(x));
  }
}

TEST(ConcertPitch, TwoSpeedsOfOnePieceDifferByTheTruth) {
  for (const std::uint64_t seed : {21u, 22u, 23u}) {
    const Chords piece{.seconds = 25.0, .seed = seed};
    const double read = tuning_of(piece, 2.4).cents - tuning_of(piece, -3.0).cents;
    const double truth = test::cents_of_percent(2.4) - test::cents_of_percent(-3.0);
    EXPECT_NEAR(within_semitone(read - truth), 0.0, 0.5) << seed;
  }
}

// 16 stretches of 128 frames fold into 8 after 2,048 frames; in 20,000 they do so four times.
TEST(ConcertPitch, ReadsTheSameAfterFolding) {
  test::Noise noise(31);
  ConcertPitch pitch;
  std::optional<Tuning> early;
  double sum = 0.0, count = 0.0;
  for (int i = 0; i < 20000; ++i) {
    const auto frame = frame_of_notes(noise, -23.0, 4.0);
    for (const Partial& partial : frame) sum += within_semitone(partial.cents + 23.0), count += 1.0;
    pitch.add(frame);
    if (i == 1500) early = pitch.tuning();
  }
  const auto late = pitch.tuning();
  ASSERT_TRUE(early && late);
  EXPECT_NEAR(early->cents, -23.0, 0.3);
  EXPECT_NEAR(late->cents, early->cents, 0.3);
  EXPECT_NEAR(late->cents, -23.0 + sum / count, 0.05);  // the plain mean: the window does not draw it aside
  EXPECT_LT(late->u95_cents, early->u95_cents);
  EXPECT_GT(late->heard_s, 0.85 * 20000 * kMovementStep_s);  // but for the stretch that is not full yet
}

TEST(ConcertPitch, IsAsNewAfterReset) {
  const auto first = played_chords({.seconds = 14.0, .cents = -37.0, .seed = 41});
  const auto second = played_chords({.seconds = 14.0, .cents = 12.0, .seed = 42});
  ConcertPitch pitch;
  test::for_partials(first, [&](std::span<const Partial> frame) { pitch.add(frame); });
  ASSERT_TRUE(pitch.tuning());
  pitch.reset();
  EXPECT_FALSE(pitch.tuning());
  EXPECT_FALSE(pitch.centre_cents());
  test::for_partials(second, [&](std::span<const Partial> frame) { pitch.add(frame); });
  const auto again = pitch.tuning(), alone = tuning_of(second);
  ASSERT_TRUE(again && alone);
  EXPECT_EQ(again->cents, alone->cents);
  EXPECT_EQ(again->u95_cents, alone->u95_cents);
  EXPECT_EQ(again->concentration, alone->concentration);
  EXPECT_EQ(again->heard_s, alone->heard_s);
}

TEST(ConcertPitch, SaysNothingOfSilenceAndOfLessThanTwoStretches) {
  EXPECT_FALSE(tuning_of(std::vector<float>(test::frames_in(20.0, kSongRate_hz))));
  EXPECT_FALSE(tuning_of(played_chords({.seconds = 9.0, .seed = 51})));  // two stretches are 10.9 s
  EXPECT_FALSE(ConcertPitch().tuning());
}

TEST(ConcertPitch, PassesOverWhatIsNoNumber) {
  constexpr double kNan = std::numeric_limits<double>::quiet_NaN(), kInfinite = std::numeric_limits<double>::infinity();
  test::Noise noise(61);
  ConcertPitch pitch;
  for (int i = 0; i < 600; ++i) {
    auto frame = frame_of_notes(noise, 8.0, 4.0);
    for (const double odd : {kNan, kInfinite, -kInfinite, 1e300, -1e300})
      frame.push_back({.cents = odd, .level = 1.0F, .age = 9});
    pitch.add(frame);
  }
  const auto tuning = pitch.tuning();
  ASSERT_TRUE(tuning);
  EXPECT_NEAR(tuning->cents, 8.0, 0.3);
  EXPECT_TRUE(std::isfinite(tuning->u95_cents));
}

TEST(PartialTracker, GoesOnAfterWhatIsNoNumberAndWhatIsTooLarge) {
  auto x = played_chords({.seconds = 20.0, .cents = 8.0, .seed = 71});
  x[30000] = std::numeric_limits<float>::quiet_NaN();
  x[60000] = std::numeric_limits<float>::infinity();
  x[90000] = 1e30F;
  std::size_t partials = 0, finite = 0;
  test::for_partials(x, [&](std::span<const Partial> frame) {
    for (const Partial& partial : frame) finite += std::isfinite(partial.cents) && std::isfinite(partial.step);
    partials += frame.size();
  });
  EXPECT_EQ(finite, partials);
  EXPECT_GT(partials, 1000u);
  EXPECT_NEAR(tuning_of(x).value_or(Tuning{}).cents, 8.0, 1.0);
}

}  // namespace
}  // namespace four76
