// Two steady tones in the search range: that they are seen, that the tape's is known by its wow, and that the other one
// is taken out without a trace. The sums are made by closed formulas; nothing of the finder's own is used.
#include "core/tone/two_tones.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "core/tone/line_canceller.hpp"
#include "core/tone/pair_finder.hpp"
#include "tests/unit/core/session_runs.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

constexpr double kRate = 48000.0;
constexpr double kTapeHz = 2991.3;

// A portable: roller, reel and capstan; 0.2 % peak in all.
double portable_cycles(double t) {
  double cycles = kTapeHz * t;
  for (const auto& [peak, rate_hz, angle] : {std::array{1.2e-3, 1.3, 1.0}, {1e-3, 0.45, 0.3}, {8e-4, 7.6, 2.0}})
    cycles +=
        kTapeHz * peak / (test::kTwoPi * rate_hz) * (std::sin(test::kTwoPi * rate_hz * t + angle) - std::sin(angle));
  return cycles;
}

std::vector<float> tape_and_tone(bool wows, double apart_hz, double db, double seconds, std::uint64_t seed) {
  auto x = wows ? test::sound_of(portable_cycles, seconds, kRate, 0.1) : test::tone(kTapeHz, seconds, kRate, 0.1, 0.2);
  test::add(x, test::tone(kTapeHz + apart_hz, seconds, kRate, 0.1 * std::pow(10.0, db / 20.0), 0.3));
  test::add_noise_dbhz(x, 0.1, 62.0, kRate, seed);
  return x;
}

// Mean of the tape from there on, by the formula.
double mean_hz(double from_s, double to_s) {
  return (portable_cycles(to_s) - portable_cycles(from_s)) / (to_s - from_s);
}

TEST(TwoTones, TheTapesIsKnownByItsWowWhicheverIsLouder) {
  std::uint64_t seed = 1;
  for (const double apart_hz : {6.0, -11.0, 24.0, -40.0, 210.0})
    for (const double db : {-12.0, -3.0, 3.0, 12.0}) {
      const auto x = tape_and_tone(true, apart_hz, db, 14.0, ++seed);
      const Reading reading = test::whole_reading(x, test::listening(kRate));
      const std::string which = std::to_string(apart_hz) + " Hz, " + std::to_string(db) + " dB";
      ASSERT_EQ(reading.status, Status::measured) << which;
      EXPECT_TRUE(reading.reasons.contains(Reason::competing_tone)) << which;
      EXPECT_NEAR(reading.taken_out_hz.value_or(0.0), kTapeHz + apart_hz, 0.1) << which;
      const double truth_hz = mean_hz(14.0 - reading.trusted_s, 14.0);
      // The stretch's ends are known to a tenth of a second, in which the wow moves the mean by 0.01 %.
      EXPECT_NEAR(*reading.frequency_hz, truth_hz, *reading.u95_percent * 30.0 + 0.3) << which;
    }
}

TEST(TwoTones, WithoutWowBothAreNamedAndNothingIsMeasured) {
  for (const double apart_hz : {6.0, -23.0, 160.0})
    for (const double db : {-12.0, 0.0, 9.0}) {
      const auto x = tape_and_tone(false, apart_hz, db, 8.0, 77);
      const Reading reading = test::whole_reading(x, test::listening(kRate));
      EXPECT_EQ(reading.status, Status::unreliable) << apart_hz << ' ' << db;
      ASSERT_FALSE(reading.reasons.empty());
      EXPECT_EQ(*reading.reasons.begin(), Reason::competing_tone) << apart_hz << ' ' << db;
      ASSERT_TRUE(reading.candidates_hz) << apart_hz << ' ' << db;
      const double louder_hz = db > 0.0 ? kTapeHz + apart_hz : kTapeHz;
      if (db != 0.0) {
        EXPECT_NEAR((*reading.candidates_hz)[0], louder_hz, 0.1);
      }
      EXPECT_NEAR((*reading.candidates_hz)[0] + (*reading.candidates_hz)[1], 2.0 * kTapeHz + apart_hz, 0.2);
    }
}

TEST(TwoTones, WhoeverMeasuresMaySayWhich) {
  const auto x = tape_and_tone(false, 15.0, 6.0, 8.0, 5);
  for (const double hz : {kTapeHz, kTapeHz + 15.0}) {
    auto config = test::listening(kRate);
    config.near_hz = hz + 3.0;
    const Reading reading = test::whole_reading(x, config);
    EXPECT_EQ(reading.status, Status::measured) << hz;
    EXPECT_NEAR(reading.frequency_hz.value_or(0.0), hz, 0.005);
    EXPECT_FALSE(reading.candidates_hz);
  }
}

// The dial never tells a number of the wrong tone, from the first sample on.
TEST(TwoTones, TheDialTellsNoNumberOfTheOtherOne) {
  for (const double db : {3.0, 6.0, 12.0})
    for (const double apart_hz : {9.0, 33.0, 300.0}) {
      ToneSession session(test::listening(kRate));
      int wrong = 0, right = 0;
      test::each_dial(session, tape_and_tone(true, apart_hz, db, 12.0, 9), [&](const Reading& dial) {
        if (dial.status != Status::measured) return;
        const bool of_tape = std::abs(*dial.frequency_hz - kTapeHz) < 0.0035 * kTapeHz * 0.9;
        const bool of_other = std::abs(*dial.frequency_hz - kTapeHz - apart_hz) < 2.0;
        ++(of_other || !of_tape ? wrong : right);
      });
      EXPECT_EQ(wrong, 0) << apart_hz << ' ' << db;
      EXPECT_GT(right, 100) << apart_hz << ' ' << db;
    }
}

// What is one tone is taken for one: clean, wowing, with a level that flutters, with hum, in noise.
TEST(TwoTones, AreNotSeenInOne) {
  std::vector<std::vector<float>> sounds;
  sounds.push_back(test::tone(kTapeHz, 6.0, kRate));
  sounds.push_back(test::sound_of(portable_cycles, 6.0, kRate, 0.1));
  for (const double rate_hz : {7.0, 9.0, 31.0}) {
    auto x = test::sound_of(portable_cycles, 6.0, kRate, 0.1);
    for (std::size_t n = 0; n < x.size(); ++n)
      x[n] *= static_cast<float>(1.0 + 0.5 * std::sin(test::kTwoPi * rate_hz * static_cast<double>(n) / kRate));
    sounds.push_back(x);
  }
  sounds.push_back(test::tone(kTapeHz, 6.0, kRate));
  test::add(sounds.back(), test::hum(50.0, 6.0, kRate, 0.3, 80));
  sounds.push_back(test::tone(kTapeHz, 6.0, kRate));
  test::add(sounds.back(), test::voice(6.0, kRate, 0.1, 3));
  for (std::size_t i = 0; i < sounds.size(); ++i) {
    test::add_noise_dbhz(sounds[i], 0.1, 48.0, kRate, 40 + i);
    const Reading reading = test::whole_reading(sounds[i], test::listening(kRate));
    EXPECT_FALSE(reading.candidates_hz || reading.taken_out_hz) << i;
  }
}

TEST(TwoTones, DoNotDependOnTheBlocks) {
  const auto x = tape_and_tone(true, 15.0, 6.0, 6.0, 8);
  std::optional<double> first;
  for (const std::size_t piece : {1u, 128u, 4096u}) {
    ToneSession session(test::listening(kRate));
    test::feed(session, x, piece);
    const auto found = session.whole(0).frequency_hz;
    ASSERT_TRUE(found);
    if (first) {
      EXPECT_EQ(*found, *first) << piece;
    }
    first = found;
  }
}

TEST(TwoTones, AreFoundAtEveryRateAndNominal) {
  for (const double rate_hz : {8000.0, 44100.0, 96000.0, 192000.0})
    for (const double nominal_hz : {315.0, 1000.0, 3150.0}) {
      auto x = test::tone(nominal_hz, 6.0, rate_hz);
      test::add(x, test::tone(1.02 * nominal_hz, 6.0, rate_hz, 0.06, 0.4));
      const Reading reading = test::whole_reading(x, test::listening(rate_hz, nominal_hz));
      ASSERT_TRUE(reading.candidates_hz) << rate_hz << ' ' << nominal_hz;
      EXPECT_NEAR((*reading.candidates_hz)[1], 1.02 * nominal_hz, 0.1) << rate_hz;
    }
}

// 0.2 Hz wide: ten seconds on, 60 dB of a line are gone, and a tone 6 Hz beside is left as it was.
TEST(LineCanceller, TakesOutItsLineAlone) {
  LineCanceller canceller(kRate);
  auto x = test::tone(3000.0, 10.0, kRate, 0.1, 0.25);  // a cosine's phase 0 at the first sample
  canceller.start({3000.0, 0.1, -3000.0 / kRate});
  canceller.process(x);
  double power = 0.0;
  for (std::size_t n = x.size() / 2; n < x.size(); ++n) power += static_cast<double>(x[n]) * static_cast<double>(x[n]);
  EXPECT_LT(std::sqrt(power / (static_cast<double>(x.size()) / 2.0)), 0.1e-3 / std::sqrt(2.0));

  auto beside = test::tone(3006.0, 10.0, kRate, 0.1);
  const auto untouched = beside;
  canceller.process(beside);
  double kept = 0.0;
  double before = 0.0;
  for (std::size_t n = beside.size() / 2; n < beside.size(); ++n) {
    kept += static_cast<double>(beside[n]) * static_cast<double>(beside[n]);
    before += static_cast<double>(untouched[n]) * static_cast<double>(untouched[n]);
  }
  EXPECT_NEAR(kept / before, 1.0, 0.01);
}

TEST(LineCanceller, FollowsAnOscillatorThatDrifts) {
  LineCanceller canceller(kRate);
  // 0.05 Hz in ten seconds, as a warm RC oscillator does.
  auto x = test::sound_of([](double t) { return 3000.0 * t + 0.0025 * t * t; }, 20.0, kRate, 0.1);
  canceller.start({3000.0, 0.1, -0.25 - 3000.0 / kRate});
  canceller.process(x);
  double power = 0.0;
  for (std::size_t n = x.size() / 2; n < x.size(); ++n) power += static_cast<double>(x[n]) * static_cast<double>(x[n]);
  EXPECT_LT(std::sqrt(power / (static_cast<double>(x.size()) / 2.0)), 0.1 * 0.1 / std::sqrt(2.0));
  EXPECT_NEAR(canceller.frequency_hz().value_or(0.0), 3000.1, 0.02);
}

TEST(PairFinder, SaysNothingOfLessThanASecondOrOfSilence) {
  PairFinder finder({.most_samples = 4096, .rate_hz = 2400.0});
  std::vector<std::complex<float>> silence(4096);
  EXPECT_FALSE(finder.find(std::span<const std::complex<float>>(silence).first(100)));
  EXPECT_FALSE(finder.find({}));
  EXPECT_FALSE(finder.find(silence));
}

}  // namespace
}  // namespace four76
