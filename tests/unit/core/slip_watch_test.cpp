#include "core/tone/slip_watch.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

constexpr double kTone_hz = 3021.7;

// Noise that lies that many decibels below the tone, over all of the band.
void add_noise(std::vector<float>& x, double snr_db, double amplitude = 0.1) {
  test::Noise noise(11);
  const double rms = amplitude / std::sqrt(2.0) * std::pow(10.0, -snr_db / 20.0);
  for (float& v : x) v += static_cast<float>(rms * noise());
}

SlipWatch seen(const std::vector<float>& x, double rate_hz = 48000.0, std::size_t block = 128,
               double nominal_hz = 3000.0) {
  SlipWatch watch({rate_hz, nominal_hz});
  watch.lock(nominal_hz * 1.004, 0);
  for (std::size_t at = 0; at < x.size(); at += block)
    watch.process(std::span(x).subspan(at, std::min(block, x.size() - at)));
  return watch;
}

std::vector<float> without(std::vector<float> x, std::size_t at, std::size_t count) {
  const auto first = x.begin() + static_cast<std::ptrdiff_t>(at);
  x.erase(first, first + static_cast<std::ptrdiff_t>(count));
  return x;
}

TEST(SlipWatch, FindsLostSamplesWhereTheyAreAtEveryRate) {
  for (const double rate_hz : {24000.0, 44100.0, 48000.0, 96000.0})
    for (const double snr_db : {30.0, 60.0}) {
      const auto at = static_cast<std::size_t>(rate_hz / 2.0);
      auto x = without(test::tone(kTone_hz, 1.0, rate_hz), at, 300);  // between 0.3 and 0.5 of a cycle
      add_noise(x, snr_db);
      const SlipWatch watch = seen(x, rate_hz);
      const auto place = static_cast<double>(at);
      const double cycle = rate_hz / 3000.0;
      EXPECT_EQ(watch.slip_count(), 1u) << rate_hz << ' ' << snr_db;
      EXPECT_TRUE(watch.slipped_between(place, place)) << rate_hz << ' ' << snr_db;
      EXPECT_FALSE(watch.slipped_between(0.0, place - 3.0 * cycle));
      EXPECT_FALSE(watch.slipped_between(place + 3.0 * cycle, 2.0 * place));
    }
}

TEST(SlipWatch, FindsSamplesPlayedTwiceAndASingleLostOne) {
  auto twice = test::tone(kTone_hz, 1.0, 48000.0);
  const std::vector<float> again(twice.begin() + 20000, twice.begin() + 20441);
  twice.insert(twice.begin() + 20441, again.begin(), again.end());
  auto one = without(test::tone(kTone_hz, 1.0, 48000.0), 20441, 1);  // a sixteenth of a cycle
  for (auto* x : {&twice, &one}) {
    add_noise(*x, 40.0);
    const SlipWatch watch = seen(*x);
    EXPECT_EQ(watch.slip_count(), 1u);
    EXPECT_TRUE(watch.slipped_between(20441.0, 20441.0));
  }
}

// Every 441 samples: no filter of 20 ms can tell it from a speed.
TEST(SlipWatch, CountsLossesThatComeFasterThanTheTrackCanTell) {
  for (const double rate_hz : {44100.0, 48000.0, 96000.0}) {
    const auto whole = test::tone(kTone_hz, 2.0, rate_hz);
    std::vector<float> x;
    std::uint64_t losses = 0;
    for (std::size_t at = 0; at + 541 <= whole.size(); at += 541, ++losses)
      x.insert(x.end(), whole.begin() + static_cast<std::ptrdiff_t>(at),
               whole.begin() + static_cast<std::ptrdiff_t>(at + 441));
    add_noise(x, 40.0);
    EXPECT_GT(seen(x, rate_hz).slip_count(), losses * 3 / 4) << rate_hz;
  }
}

TEST(SlipWatch, FindsNoneInNoise) {
  for (const double snr_db : {10.0, 20.0, 30.0, 60.0}) {
    auto x = test::tone(kTone_hz, 60.0, 48000.0);
    add_noise(x, snr_db);
    EXPECT_EQ(seen(x).slip_count(), 0u) << snr_db;
  }
  auto alone = std::vector<float>(48000 * 5);
  add_noise(alone, 0.0);
  EXPECT_EQ(seen(alone).slip_count(), 0u);
  EXPECT_EQ(seen(std::vector<float>(48000)).slip_count(), 0u);
}

// A worn capstan's 1 % and scrape flutter of 200 Hz, far more than any machine has.
TEST(SlipWatch, LeavesFlutterAlone) {
  for (const test::SineWow wow : {test::SineWow{3000.0, 0.01, 7.6}, test::SineWow{3000.0, 0.01, 60.0},
                                  test::SineWow{3000.0, 0.01, 200.0}, test::SineWow{3000.0, 0.001, 500.0}}) {
    auto x = test::sound_of(wow, 10.0, 48000.0, 0.1);
    add_noise(x, 60.0);
    EXPECT_EQ(seen(x).slip_count(), 0u) << wow.rate_hz;
  }
}

// The tone's mirror image lies 1.7 kHz from it, and beats with it in a short window.
TEST(SlipWatch, StandsRatesThatHardlyCarryTheTone) {
  for (const double tone_hz : {3150.0, 3100.0, 3500.0, 3900.0}) {
    auto x = test::tone(tone_hz, 5.0, 8000.0);
    add_noise(x, 60.0);
    EXPECT_EQ(seen(x, 8000.0, 128, 3150.0).slip_count(), 0u) << tone_hz;
  }
  auto lost = without(test::tone(3150.0, 5.0, 8000.0), 20000, 6);
  add_noise(lost, 40.0);
  EXPECT_EQ(seen(lost, 8000.0, 128, 3150.0).slip_count(), 1u);
}

// A null of two paths: the phase turns by half a cycle within two milliseconds, while the level is nearly nothing.
TEST(SlipWatch, LeavesANullAlone) {
  const std::size_t middle = 24000;
  std::vector<float> x(48000);
  for (std::size_t n = 0; n < x.size(); ++n) {
    const double t = (static_cast<double>(n) - static_cast<double>(middle)) / 48000.0;
    const double towards = std::clamp(t / 0.003, -1.0, 1.0);  // the sum of both paths passes nothing at 0.02
    const double angle = test::kTwoPi * kTone_hz * t;
    x[n] = static_cast<float>(0.1 * (towards * std::sin(angle) + 0.02 * std::cos(angle)));
  }
  add_noise(x, 50.0);
  EXPECT_EQ(seen(x).slip_count(), 0u);
}

TEST(SlipWatch, LeavesClicksBurstsAndSuddenLevelsAlone) {
  auto x = test::tone(kTone_hz, 4.0, 48000.0);
  x[30000] += 0.5F;
  for (std::size_t n = 60000; n < 60040; ++n) x[n] += n % 2 == 0 ? 0.3F : -0.3F;
  test::Noise noise(5);
  for (std::size_t n = 90000; n < 100000; ++n) x[n] += static_cast<float>(0.03 * noise());
  for (std::size_t n = 120000; n < 150000; ++n) x[n] *= 0.5F;
  add_noise(x, 50.0);
  EXPECT_EQ(seen(x).slip_count(), 0u);
}

TEST(SlipWatch, ForgetsAllWhenItBeginsAnew) {
  auto x = without(test::tone(kTone_hz, 1.0, 48000.0), 20000, 77);
  add_noise(x, 40.0);
  SlipWatch watch = seen(x);
  ASSERT_EQ(watch.slip_count(), 1u);
  watch.reset();
  EXPECT_EQ(watch.slip_count(), 0u);
  EXPECT_FALSE(watch.slipped_between(0.0, 1e9));
}

TEST(SlipWatch, FindsTheSameHoweverTheBlocks) {
  auto x = test::tone(kTone_hz, 1.0, 48000.0);
  for (const std::size_t at : {40000u, 30000u, 20000u}) x = without(x, at, 77);
  add_noise(x, 40.0);
  for (const std::size_t block : {1u, 100u, 1024u}) {
    const SlipWatch watch = seen(x, 48000.0, block);
    EXPECT_EQ(watch.slip_count(), 3u) << block;
    EXPECT_TRUE(watch.slipped_between(20000.0, 20000.0)) << block;
  }
}

TEST(SlipWatch, ForgetsNothingOfTheToneWhenItIsTunedAnew) {
  // Through 8 % within a second: tuned anew every few milliseconds, and no step.
  auto x = test::sound_of([](double t) { return 2900.0 * t + 120.0 * t * t; }, 1.0, 48000.0, 0.1);
  add_noise(x, 50.0);
  EXPECT_EQ(seen(x).slip_count(), 0u);
}

}  // namespace
}  // namespace four76
