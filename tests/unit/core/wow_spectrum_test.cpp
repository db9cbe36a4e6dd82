// WowSpectrum: the wow of a machine whose movement is known, on chords of tempered notes.
#include "core/tapes/pitch/wow_spectrum.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

#include "tests/unit/core/tape_music.hpp"

namespace four76 {
namespace {

using test::Chords;
using test::kTwoPi;
using test::played_chords;

std::optional<SharedWow> wow_of(std::span<const float> samples) {
  WowSpectrum wow;
  test::for_partials(samples, [&](std::span<const Partial> frame) { wow.add(frame, 0.0); });
  return wow.wow();
}

struct Swing {
  double rms_percent, rate_hz;
};

// The position of a machine whose speed swings by sines.
auto swinging(std::vector<Swing> swings) {
  return [swings = std::move(swings)](double t) {
    double at = t;
    for (const Swing& swing : swings)
      at += std::numbers::sqrt2 * swing.rms_percent / 100.0 / (kTwoPi * swing.rate_hz) *
            std::sin(kTwoPi * swing.rate_hz * t);
    return at;
  };
}

// Chords of a second, some of whose notes last on.
std::vector<float> music(std::uint64_t seed, std::vector<Swing> swings, double seconds = 40.0) {
  auto x = played_chords({.seconds = seconds, .seed = seed, .chord_s = 1.1}, swinging(std::move(swings)));
  test::add_noise(x, 3e-4, seed + 100);
  return x;
}

TEST(WowSpectrum, ReadsWowAndItsRate) {
  for (const double rate_hz : {0.5, 1.2, 2.0})
    for (const double rms_percent : {0.15, 0.3}) {
      const auto wow = wow_of(music(1, {{rms_percent, rate_hz}}));
      ASSERT_TRUE(wow && wow->u95_percent && wow->rate_hz && wow->rate_u95_hz) << rate_hz << " Hz";
      EXPECT_NEAR(wow->rms_percent, rms_percent, 0.1 * rms_percent) << rate_hz << " Hz";
      EXPECT_NEAR(wow->rms_percent, rms_percent, *wow->u95_percent) << rate_hz << " Hz";
      EXPECT_NEAR(*wow->rate_hz, rate_hz, *wow->rate_u95_hz);
      EXPECT_LT(*wow->rate_u95_hz, 0.05);
    }
}

TEST(WowSpectrum, TellsTheStrongerOfTwoLines) {
  const auto wow = wow_of(music(2, {{0.12, 0.5}, {0.2, 1.3}}));
  ASSERT_TRUE(wow && wow->u95_percent && wow->rate_hz);
  EXPECT_NEAR(wow->rms_percent, std::hypot(0.12, 0.2), 0.1 * std::hypot(0.12, 0.2));
  EXPECT_NEAR(*wow->rate_hz, 1.3, *wow->rate_u95_hz);
}

TEST(WowSpectrum, SteadyMusicHasNoRate) {
  for (std::uint64_t seed = 11; seed < 17; ++seed) {
    const auto wow = wow_of(music(seed, {}));
    EXPECT_LT(wow ? wow->rms_percent : 0.0, 0.05) << seed;
    EXPECT_FALSE(wow && wow->rate_hz) << seed;
  }
}

// A singer's vibrato moves the notes of one part, a machine's wow all.
TEST(WowSpectrum, OneNotesVibratoIsNoWow) {
  for (const std::uint64_t seed : {21u, 22u, 23u}) {
    auto x = music(seed, {});
    const auto vibrato = swinging({{0.5, 2.3}});
    for (int harmonic = 1; harmonic <= 4; ++harmonic)
      test::add(x, test::sound_of([&](double t) { return 659.26 * harmonic * vibrato(t); }, 40.0, kSongRate_hz,
                                  0.03 / harmonic));
    const auto wow = wow_of(x);
    EXPECT_FALSE(wow && wow->rate_hz) << seed;
    EXPECT_FALSE(wow && wow->u95_percent) << seed;
  }
}

TEST(WowSpectrum, SaysNothingWithoutPartials) {
  WowSpectrum wow;
  EXPECT_FALSE(wow.wow());
  for (int frame = 0; frame < 1000; ++frame) wow.add({}, 0.0);
  EXPECT_FALSE(wow.wow());
  EXPECT_FALSE(wow_of(music(31, {{0.3, 1.2}}, 8.0)));
}

TEST(WowSpectrum, IsAsNewAfterReset) {
  WowSpectrum wow;
  const auto hear = [&](const std::vector<float>& x) {
    test::for_partials(x, [&](std::span<const Partial> frame) { wow.add(frame, 0.0); });
    return wow.wow();
  };
  ASSERT_TRUE(hear(music(41, {{0.3, 1.2}})));
  wow.reset();
  EXPECT_FALSE(wow.wow());
  const auto again = hear(music(42, {{0.2, 0.8}}));
  const auto once = wow_of(music(42, {{0.2, 0.8}}));
  ASSERT_TRUE(again && once);
  EXPECT_EQ(again->rms_percent, once->rms_percent);
  EXPECT_EQ(again->rate_hz, once->rate_hz);
}

TEST(WowSpectrum, SurvivesWhatIsNoNumber) {
  constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
  WowSpectrum wow;
  const Partial partials[] = {{.cents = 100.0, .age = 3}, {.cents = 1200.0, .step = 20.0, .age = 9}};
  for (int frame = 0; frame < 500; ++frame) wow.add(partials, frame % 2 ? kNan : 1e300);
  for (int frame = 0; frame < 500; ++frame) wow.add(partials, 0.0);
  EXPECT_FALSE(wow.wow());
}

}  // namespace
}  // namespace four76
