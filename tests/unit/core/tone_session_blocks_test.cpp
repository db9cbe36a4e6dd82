// The readings depend on the samples alone, never on how they were cut into blocks: bit by bit.
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

#include "tests/unit/core/session_runs.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

void expect_same(const Reading& a, const Reading& b) {
  EXPECT_EQ(a.status, b.status);
  EXPECT_TRUE(a.reasons == b.reasons);
  EXPECT_EQ(a.frequency_hz, b.frequency_hz);
  EXPECT_EQ(a.speed_error_percent, b.speed_error_percent);
  EXPECT_EQ(a.u95_percent, b.u95_percent);
  EXPECT_EQ(a.noise_u95_percent, b.noise_u95_percent);
  EXPECT_EQ(a.wow_u95_percent, b.wow_u95_percent);
  EXPECT_EQ(a.level_dbfs, b.level_dbfs);
  EXPECT_EQ(a.carrier_to_noise_dbhz, b.carrier_to_noise_dbhz);
  EXPECT_EQ(a.time_s, b.time_s);
  EXPECT_EQ(a.trusted_s, b.trusted_s);
}

void expect_same(const SpectrumView& a, const SpectrumView& b) {
  ASSERT_EQ(a.level_dbfs.size(), b.level_dbfs.size());
  for (std::size_t k = 0; k < a.level_dbfs.size(); ++k) ASSERT_EQ(a.level_dbfs[k], b.level_dbfs[k]);
  ASSERT_EQ(a.peaks.size(), b.peaks.size());
  for (std::size_t k = 0; k < a.peaks.size(); ++k) EXPECT_EQ(a.peaks[k].frequency_hz, b.peaks[k].frequency_hz);
}

void expect_same(const ToneSession& a, const ToneSession& b) {
  EXPECT_EQ(a.dial_count(), b.dial_count());
  for (int channel = 0; channel < a.config().channels; ++channel) {
    expect_same(a.dial(channel), b.dial(channel));
    expect_same(a.calm(channel), b.calm(channel));
    expect_same(a.whole(channel), b.whole(channel));
    expect_same(a.spectrum(channel), b.spectrum(channel));
    expect_same(a.zoom(channel), b.zoom(channel));
    EXPECT_EQ(a.input_peak_dbfs(channel), b.input_peak_dbfs(channel));
    std::vector<TrailPoint> x(800);
    std::vector<TrailPoint> y(800);
    const std::size_t count = a.trail(channel, x);
    ASSERT_EQ(count, b.trail(channel, y));
    for (std::size_t i = 0; i < count; ++i) {
      ASSERT_EQ(x[i].speed_error_percent, y[i].speed_error_percent);
      ASSERT_EQ(x[i].u95_percent, y[i].u95_percent);
      ASSERT_EQ(x[i].status, y[i].status);
    }
  }
  EXPECT_EQ(a.channels_agree(), b.channels_agree());
}

// Everything that happens to a tape: silence first, wow, a turned trimmer, lost samples, a NaN, a pause, another tone.
std::vector<float> eventful(double rate_hz, std::uint64_t seed) {
  const test::SineWow wow{.mean_hz = 3020.0, .peak = 0.002, .rate_hz = 1.3};
  std::vector<float> x(test::frames_in(0.23, rate_hz));
  auto tape = test::sound_of([&](double t) { return wow(t) + (t > 1.5 ? 25.0 * (t - 1.5) : 0.0); }, 3.0, rate_hz, 0.1);
  tape.erase(tape.begin() + 70000 % static_cast<std::ptrdiff_t>(tape.size() / 2),
             tape.begin() + 70000 % static_cast<std::ptrdiff_t>(tape.size() / 2) + 100);
  std::fill_n(tape.begin() + static_cast<std::ptrdiff_t>(2.2 * rate_hz), 1024, 0.0F);
  x.insert(x.end(), tape.begin(), tape.end());
  x.insert(x.end(), test::frames_in(0.8, rate_hz), 0.0F);
  const auto other = test::tone(2811.0, 1.0, rate_hz, 0.2);
  x.insert(x.end(), other.begin(), other.end());
  test::add_noise(x, 1e-4, seed);
  x[x.size() / 3] = std::numeric_limits<float>::quiet_NaN();
  return x;
}

TEST(ToneSessionBlocks, OfAnySizeGiveTheSameReadingsBitByBit) {
  for (const double rate_hz : {8000.0, 44100.0, 48000.0, 96000.0}) {
    const auto x = test::stereo(eventful(rate_hz, 1), eventful(rate_hz, 2));
    ToneSession whole(test::listening(rate_hz, 3000.0, 2));
    whole.process(x);
    EXPECT_NE(whole.whole(0).status, Status::no_tone);
    for (const std::size_t frames : {1u, 128u, 4096u}) {
      ToneSession cut(test::listening(rate_hz, 3000.0, 2));
      test::feed(cut, x, 2 * frames);
      expect_same(whole, cut);
    }
    ToneSession random(test::listening(rate_hz, 3000.0, 2));
    test::Noise size(5);
    for (std::size_t at = 0; at < x.size();) {
      const auto frames = static_cast<std::size_t>(size.uniform() * size.uniform() * 3000.0);
      const std::size_t count = std::min(2 * frames, x.size() - at);
      random.process(std::span(x).subspan(at, count));
      at += count;
    }
    expect_same(whole, random);
  }
}

// The same for a tape on which nothing happens but wow, hiss and a turn of the screw.
TEST(ToneSessionBlocks, OfAnySizeGiveTheSameReadingsOfAPlainTape) {
  const test::SineWow wow{.mean_hz = 3020.0, .peak = 0.002, .rate_hz = 1.3};
  for (const double rate_hz : {8000.0, 44100.0, 48000.0, 96000.0}) {
    auto x = test::sound_of([&](double t) { return wow(t) + (t > 1.5 ? 25.0 * (t - 1.5) : 0.0); }, 2.53, rate_hz, 0.1);
    test::add_noise_dbhz(x, 0.1, 60.0, rate_hz, 4);
    ToneSession whole(test::listening(rate_hz));
    whole.process(x);
    EXPECT_TRUE(whole.whole(0).frequency_hz);
    for (const std::size_t piece : {1u, 128u, 4096u}) {
      ToneSession cut(test::listening(rate_hz));
      test::feed(cut, x, piece);
      expect_same(whole, cut);
    }
  }
}

// Reading takes nothing away: whoever reads often gets what one who reads once gets.
TEST(ToneSessionBlocks, ReadingChangesNothing) {
  const auto x = eventful(48000.0, 3);
  ToneSession read_once(test::listening(48000.0));
  ToneSession read_often(test::listening(48000.0));
  read_once.process(x);
  for (std::size_t at = 0; at < x.size(); at += 3000) {
    read_often.process(std::span(x).subspan(at, std::min<std::size_t>(3000, x.size() - at)));
    static_cast<void>(read_often.whole(0));
    static_cast<void>(read_often.spectrum(0));
    static_cast<void>(read_often.zoom(0));
    static_cast<void>(read_often.channels_agree());
  }
  expect_same(read_once, read_often);
}

}  // namespace
}  // namespace four76
