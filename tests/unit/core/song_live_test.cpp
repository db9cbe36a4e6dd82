// A song followed live, block by block: partials that tell the speed, whether they agree, the nearest of a note's many
// places, the dial that weighs both; then solo lines through a turn of the trimmer, and another song put in.
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <numbers>
#include <optional>
#include <random>
#include <vector>

#include "core/song/partial_ratio.hpp"
#include "core/song/song_dial.hpp"
#include "core/song/song_session.hpp"
#include "tests/scenes/song_pieces.hpp"
#include "tests/scenes/song_tape.hpp"

namespace four76 {
namespace {

using scenes::kPieceRate_hz;
using scenes::Manner;
using scenes::SongTape;

std::vector<float> at_song_rate(std::span<const float> samples, double rate_hz) {
  std::vector<float> out;
  RateChanger changer({.sample_rate_hz = rate_hz});
  changer.process(samples, [&](float sample) { out.push_back(sample); });
  return out;
}

// Notes of six harmonics each, every one with a phase of its own, and noise 30 dB below the first.
std::vector<float> notes(std::span<const double> pitches_hz, double speed, std::uint32_t seed, std::size_t count) {
  std::mt19937 random(seed);
  std::uniform_real_distribution<double> phase(0.0, 2.0 * std::numbers::pi);
  std::normal_distribution<double> noise(0.0, 0.003);
  std::vector<float> out(count);
  for (const double pitch_hz : pitches_hz)
    for (int harmonic = 1; harmonic <= 6; ++harmonic) {
      const double start = phase(random);
      const double step = 2.0 * std::numbers::pi * harmonic * pitch_hz * speed / kSongRate_hz;
      for (std::size_t n = 0; n < count; ++n)
        out[n] += static_cast<float>(0.1 / harmonic * std::sin(start + step * static_cast<double>(n)));
    }
  for (float& sample : out) sample += static_cast<float>(noise(random));
  return out;
}

std::optional<SpeedRatio> ratio_of(std::span<const float> tape, std::span<const float> reference) {
  PhaseCorrelator correlator;
  correlator.set_tape(tape, 0.5 * PhaseCorrelator::kWindow_s);
  std::copy_n(reference.begin(), PhaseCorrelator::kSize, correlator.reference().begin());
  std::array<DelayPeak, 2 * PhaseCorrelator::kPeaks> peaks;
  correlator.correlate(0.01, peaks);
  PartialRatio partials;
  return partials.of(correlator.tape_spectrum(), correlator.reference_spectrum());
}

constexpr std::array<double, 1> kSolo{523.25};
constexpr std::array<double, 3> kChord{261.63, 329.63, 392.0};

// The phases of both differ: no place agrees, the speed does. 0.03 %: a hundredth of a bin at a thousand hertz.
TEST(PartialRatio, TellsTheSpeedOfANoteAndOfAChordWhereverInThemOneLooks) {
  for (const std::span<const double> pitches : {std::span<const double>(kSolo), std::span<const double>(kChord)})
    for (const double percent : {-3.5, -1.0, -0.1, 0.0, 0.3, 1.0, 3.5}) {
      const auto ratio = ratio_of(notes(pitches, 1.0 + percent / 100.0, 1, 4096), notes(pitches, 1.0, 2, 4096));
      ASSERT_TRUE(ratio) << percent;
      EXPECT_NEAR(ratio->ratio, 1.0 + percent / 100.0, 3e-4) << percent;
      EXPECT_LT(ratio->sigma, 0.002);
    }
}

TEST(PartialRatio, TakesNoOtherNoteForATurn) {
  constexpr std::array<double, 1> kSemitoneUp{554.37};
  constexpr std::array<double, 1> kOther{370.0};
  EXPECT_FALSE(ratio_of(notes(kSemitoneUp, 1.0, 1, 4096), notes(kSolo, 1.0, 2, 4096)));
  EXPECT_FALSE(ratio_of(notes(kOther, 1.0, 1, 4096), notes(kSolo, 1.0, 2, 4096)));
}

TEST(PartialRatio, HasNoneOfNoiseASineAndSilence) {
  EXPECT_FALSE(ratio_of(std::vector<float>(4096), std::vector<float>(4096)));
  std::vector<float> sine(4096);
  for (std::size_t n = 0; n < sine.size(); ++n) sine[n] = std::sin(0.4F * static_cast<float>(n));
  EXPECT_FALSE(ratio_of(sine, sine));
  int told = 0;
  for (std::uint32_t seed = 0; seed < 40; ++seed)
    told += ratio_of(notes({}, 1.0, seed, 4096), notes({}, 1.0, 100 + seed, 4096)) ? 1 : 0;
  EXPECT_LE(told, 4);  // SongRates wants four in a row that agree
}

SongRates rates_of(std::initializer_list<double> percents) {
  SongRates rates;
  double tape_s = 0.0;
  for (const double percent : percents) rates.add({tape_s += 0.05, 1.0 + percent / 100.0, 0.0003});
  return rates;
}

TEST(SongRates, AgreeThroughAFewThatSayElse) {
  const auto agreed = rates_of({1.0, 1.02, -2.7, 0.99, 1.01, 1.0, 3.9}).agreed(0.0);
  ASSERT_TRUE(agreed);
  EXPECT_NEAR(agreed->speed, 1.01, 2e-4);
  EXPECT_GT(agreed->u95, 2e-4);
  EXPECT_LT(agreed->u95, 1e-3);
  EXPECT_NEAR(agreed->from_s, 0.05, 1e-9);
  EXPECT_NEAR(agreed->to_s, 0.30, 1e-9);
}

TEST(SongRates, SayNothingOfFewWindowsOrOfAQuarrel) {
  EXPECT_FALSE(rates_of({1.0, 1.0, 1.0}).agreed(0.0));
  EXPECT_FALSE(rates_of({1.0, 1.0, 1.0, 0.2, 0.2, 0.2, 1.0}).agreed(0.0));
  const auto turned = rates_of({-1.0, -1.0, -1.0, -1.0, 0.2, 0.2, 0.2, 0.2});
  EXPECT_FALSE(turned.agreed(0.0));
  const auto since = turned.agreed(0.22);
  ASSERT_TRUE(since);
  EXPECT_NEAR(since->speed, 1.002, 1e-4);
}

TEST(SongRates, ForgetTheOldest) {
  SongRates rates;
  for (int i = 0; i < 100; ++i) rates.add({0.05 * i, i < 50 ? 0.97 : 1.0, 0.0003});
  const auto agreed = rates.agreed(0.0);
  ASSERT_TRUE(agreed);
  EXPECT_NEAR(agreed->speed, 1.0, 1e-5);
}

// A steady note agrees with itself at every period: the three strongest places lie anywhere, the near one is there.
TEST(SongWindow, FindsTheNearestOfANotesManyPlaces) {
  const auto reference = notes(kSolo, 1.0, 3, 24000);
  SongWindow window(reference);
  ASSERT_TRUE(window.set_tape(reference, 0.0, 1.0));
  for (const double off_s : {-0.0004, 0.0, 0.0005}) {
    static_cast<void>(window.peaks(1.0 + off_s, 1.0, 0.012));
    double nearest_s = 1.0;
    for (const SongPeak& peak : window.peaks_within(0.0008))
      if (!peak.inverted && peak.z > 3.0) nearest_s = std::min(nearest_s, std::abs(peak.place_s - 1.0));
    EXPECT_LT(nearest_s, 0.0001) << off_s;
  }
  const auto rate = window.rate();
  ASSERT_TRUE(rate);
  EXPECT_NEAR(rate->speed, 1.0, 1e-4);
}

SongFollower trail_at(double speed, double noise_s) {
  SongLock::Path path;
  path.speed = speed;
  for (std::size_t i = 0; i < SongLock::kWindows; ++i) {
    const double tape_s = 0.3 * static_cast<double>(i);
    path.points[path.count++] = {tape_s, 20.0 + speed * tape_s + (i % 2 == 0 ? noise_s : -noise_s), 6.0};
  }
  return SongFollower(path);
}

TEST(SongDial, LetsAGoodTrailStandAlone) {
  SongDial dial(1.0);
  const auto slope = dial.turn(trail_at(1.01, 1e-6), {}, SongRates::Agreed{1.011, 0.0005, 4.8, 5.1}, 5.2);
  ASSERT_TRUE(slope);
  EXPECT_NEAR(slope->speed, 1.01, 5e-5);
  EXPECT_LT(slope->u95, 1e-4);
}

// The rate holds the number where the trail is worse, and what they differ by is said to be uncertain.
TEST(SongDial, LeansOnThePartialsWhereTheTrailIsRough) {
  SongDial dial(1.0);
  const auto slope = dial.turn(trail_at(1.01, 0.002), {}, SongRates::Agreed{1.000, 0.0004, 4.8, 5.1}, 5.2);
  ASSERT_TRUE(slope);
  EXPECT_NEAR(slope->speed, 1.0, 0.003);
  SongDial other(1.0);
  const auto torn = other.turn(trail_at(1.01, 1e-4), {}, SongRates::Agreed{1.000, 0.0004, 4.8, 5.1}, 5.2);
  ASSERT_TRUE(torn);
  const double alone = trail_at(1.01, 1e-4).slope_of(1.0)->u95;
  EXPECT_GT(torn->u95, 2.0 * alone);
}

TEST(SongDial, TakesThePartialsAloneWhereTheTrailIsYoung) {
  SongDial dial(1.0);
  const SongFollower parent = trail_at(1.01, 0.0);
  const SongFollower young({5.3, 25.3, 5.0}, 1.002, parent, SongFollower::Birth::turned);
  EXPECT_FALSE(dial.turn(young, {}, std::nullopt, 5.4));
  const auto slope = dial.turn(young, {}, SongRates::Agreed{1.002, 0.0004, 5.0, 5.3}, 5.4);
  ASSERT_TRUE(slope);
  EXPECT_DOUBLE_EQ(slope->speed, 1.002);
  EXPECT_GT(slope->u95, 0.0004);
}

class SoloLine : public testing::TestWithParam<Manner> {};

// One note at a time has a place at each of its periods: the dial follows a turn of 1 % all the same, and what it shows
// as measured from then on is so.
TEST_P(SoloLine, IsFollowedThroughATurn) {
  const auto piece = scenes::play_piece(GetParam(), 50.0, 62, {.seed = 3});
  SongTape tape;
  tape.rate_hz = 24000.0;
  tape.signal_to_noise_db = 18.0;
  tape.wow = {{2.3, 0.07, 1.0}, {9.6, 0.08, 0.4}};
  tape.error_percent = -1.2;
  tape.from_s = 20.0;
  tape.seconds = 12.0;
  auto sound = record(piece, tape);
  tape.error_percent = -0.2;
  tape.from_s = 20.0 + 0.988 * 12.0;
  tape.seconds = 7.0;
  const auto turned = record(piece, tape);
  sound.insert(sound.end(), turned.begin(), turned.end());
  SongSession session({.sample_rate_hz = tape.rate_hz}, at_song_rate(piece, kPieceRate_hz));
  std::optional<double> turned_s;
  std::uint64_t dials = 0;
  int rows = 0, measured = 0;  // two seconds behind the turn and later
  for (std::size_t at = 0; at + 480 <= sound.size(); at += 480) {
    session.process(std::span(sound).subspan(at, 480));
    const Reading& dial = session.dial();
    if (session.dial_count() == dials) continue;
    dials = session.dial_count();
    rows += session.time_s() > 13.5 ? 1 : 0;
    if (session.time_s() < 12.0 || dial.status != Status::measured) continue;
    measured += session.time_s() > 13.5 ? 1 : 0;
    const double off = std::abs(*dial.speed_error_percent + 0.2);
    if (off < 0.1 && !turned_s) turned_s = session.time_s() - 12.0;
    if (session.time_s() > 13.5) {
      ASSERT_LT(off, 0.15 + *dial.u95_percent) << session.time_s();
    }
  }
  ASSERT_TRUE(turned_s);
  EXPECT_LT(*turned_s, 1.5);
  // A flute rests between its notes, and nothing else sounds there.
  EXPECT_GE(measured, rows * (GetParam() == Manner::flute ? 75 : 95) / 100);
}

INSTANTIATE_TEST_SUITE_P(Manners, SoloLine, testing::Values(Manner::flute, Manner::melody, Manner::plucked),
                         [](const auto& name) { return std::string(scenes::name_of(name.param)); });

// Another song of the same tuning has the same partials and agrees in passing; a number of the first one is not kept.
TEST(SongSession, LetsGoWhenAnotherSongIsPutIn) {
  const auto piece = scenes::play_piece(Manner::melody, 40.0, 63, {.seed = 3});
  const auto other = at_song_rate(scenes::play_piece(Manner::melody, 16.0, 64, {.seed = 4}), kPieceRate_hz);
  const auto reference = at_song_rate(piece, kPieceRate_hz);
  std::vector<float> sound(reference.begin() + 60000, reference.begin() + 180000);
  sound.insert(sound.end(), other.begin(), other.end());
  SongSession session({.sample_rate_hz = kSongRate_hz}, reference);
  bool was_measured = false;
  for (std::size_t at = 0; at + 240 <= sound.size(); at += 240) {
    session.process(std::span(sound).subspan(at, 240));
    if (session.time_s() < 9.9) was_measured = was_measured || session.dial().status == Status::measured;
    if (session.time_s() > 15.0) {
      ASSERT_NE(session.dial().status, Status::measured) << session.time_s();
    }
  }
  EXPECT_TRUE(was_measured);
}

}  // namespace
}  // namespace four76
