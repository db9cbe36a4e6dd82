#include "core/tone/tone_search.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "core/tone/nominal_tones.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

double span_s(const ToneSearch& search, double rate_hz) { return static_cast<double>(search.span_samples()) / rate_hz; }

// The newest span of a signal that is at least as long.
std::optional<FoundTone> find(ToneSearch& search, std::span<const float> x) {
  return search.find(x.last(search.span_samples()));
}

// Promised: anywhere within -25 % to +25 % of the nominal; the header promises about a hertz on a steady tone.
void expect_found(double nominal_hz, double rate_hz, double error) {
  const double tone_hz = nominal_hz * (1.0 + error);
  if (tone_hz > 0.46 * rate_hz) return;
  ToneSearch search({rate_hz, nominal_hz});
  const auto found = find(search, test::tone(tone_hz, span_s(search, rate_hz), rate_hz, 0.05, 0.3));
  ASSERT_TRUE(found) << nominal_hz << " Hz, " << error << ", at " << rate_hz;
  EXPECT_NEAR(found->frequency_hz, tone_hz, 1.5) << nominal_hz << " Hz, " << error << ", at " << rate_hz;
  EXPECT_NEAR(20.0 * std::log10(found->amplitude / 0.05), 0.0, 2.0)
      << nominal_hz << " Hz, " << error << ", at " << rate_hz;
}

TEST(ToneSearch, FindsEveryStandardToneAnywhereInItsRange) {
  for (const double nominal_hz : kStandardTonesHz)
    for (const double error : {-0.249, -0.1, -0.013, 0.0, 0.02, 0.11, 0.249}) expect_found(nominal_hz, 48000.0, error);
}

TEST(ToneSearch, FindsTypedTonesFromTheLowestToTheHighest) {
  for (const double nominal_hz : {100.0, 123.4, 250.0, 777.0, 2222.0, 5000.0, 8000.0, 10000.0})
    for (const double error : {-0.249, 0.0, 0.249}) expect_found(nominal_hz, 48000.0, error);
}

TEST(ToneSearch, FindsTheToneAtEveryRate) {
  for (const double rate_hz : {8000.0, 11025.0, 16000.0, 44100.0, 96000.0, 192000.0})
    for (const double error : {-0.2, 0.0, 0.2}) {
      expect_found(3000.0, rate_hz, error);
      expect_found(315.0, rate_hz, error);
    }
}

TEST(ToneSearch, LooksAtAThirdOfASecondAtMost) {
  // Promised: acquires within 0.3 s of tone; half of a span of tone is enough to find it.
  for (const double rate_hz : {8000.0, 44100.0, 48000.0, 96000.0, 192000.0})
    for (const double nominal_hz : {100.0, 315.0, 999.0, 1000.0, 3000.0}) {
      const ToneSearch search({rate_hz, nominal_hz});
      EXPECT_LT(span_s(search, rate_hz), 0.33) << rate_hz << " " << nominal_hz;
    }
}

TEST(ToneSearch, FindsNothingInSilenceOrAConstant) {
  ToneSearch search({48000.0, 3000.0});
  EXPECT_FALSE(search.find(std::vector<float>(search.span_samples())));
  EXPECT_FALSE(search.find(std::vector<float>(search.span_samples(), 0.5F)));
}

TEST(ToneSearch, FindsNothingInNoise) {
  for (const double nominal_hz : {315.0, 3000.0}) {
    ToneSearch search({16000.0, nominal_hz});
    int found = 0;
    for (std::uint64_t seed = 0; seed < 500; ++seed) {
      std::vector<float> x(search.span_samples());
      test::add_noise(x, 0.1, seed);
      found += find(search, x) ? 1 : 0;
    }
    EXPECT_EQ(found, 0) << nominal_hz;
  }
}

TEST(ToneSearch, FindsAToneInItsOwnNoise) {
  // 35 dB-Hz is the least that is promised to be measured.
  ToneSearch search({16000.0, 3000.0});
  int found = 0;
  for (std::uint64_t seed = 0; seed < 200; ++seed) {
    auto x = test::tone(3040.0, span_s(search, 16000.0), 16000.0, 0.05);
    test::add_noise_dbhz(x, 0.05, 35.0, 16000.0, seed);
    const auto tone = find(search, x);
    found += tone && std::abs(tone->frequency_hz - 3040.0) < 8.0 ? 1 : 0;
  }
  EXPECT_GE(found, 190);
}

TEST(ToneSearch, IsNotDrawnAwayByLouderHum) {
  for (const double mains_hz : {50.0, 60.0})
    for (const double nominal_hz : {3000.0, 3150.0, 1000.0, 6300.0}) {
      ToneSearch search({48000.0, nominal_hz});
      const double tone_hz = nominal_hz * 1.0137;
      auto x = test::tone(tone_hz, span_s(search, 48000.0), 48000.0, 0.05);
      // The fundamental is 14 dB above the tone and its harmonics, falling as 1/k to the tenth, lie below the band.
      test::add(x, test::hum(mains_hz, span_s(search, 48000.0), 48000.0, 0.25, 10));
      const auto found = find(search, x);
      ASSERT_TRUE(found) << mains_hz << " " << nominal_hz;
      EXPECT_NEAR(found->frequency_hz, tone_hz, 2.0) << mains_hz << " " << nominal_hz;
    }
}

// Speech or music around the tone, in root mean square louder than it by that many decibels: most searches must find
// the tone (the session tries 20 times a second), and nearly none may find anything else.
struct Tally {
  int right = 0, wrong = 0;
};
template <typename Sound>
Tally searches_within(Sound&& sound, double louder_db) {
  constexpr double kRate = 48000.0;
  constexpr double kSeconds = 12.0;
  ToneSearch search({kRate, 3000.0});
  auto x = sound(kSeconds, kRate, 1.0, std::uint64_t{11});
  double square = 0.0;
  for (const float v : x) square += static_cast<double>(v) * static_cast<double>(v) / static_cast<double>(x.size());
  const double amplitude = std::sqrt(2.0 * square) * std::pow(10.0, -louder_db / 20.0);
  test::add(x, test::tone(3050.0, kSeconds, kRate, amplitude));
  Tally tally;
  const auto step = test::frames_in(0.1, kRate);
  for (std::size_t end = search.span_samples(); end <= x.size(); end += step) {
    const auto found = search.find(std::span(x).subspan(end - search.span_samples(), search.span_samples()));
    if (!found) continue;
    (std::abs(found->frequency_hz - 3050.0) < 3.0 ? tally.right : tally.wrong) += 1;
  }
  return tally;
}

TEST(ToneSearch, HearsTheToneThroughLouderSpeech) {
  const Tally tally = searches_within(test::voice, 10.0);
  EXPECT_GE(tally.right, 110);
  EXPECT_LE(tally.wrong, 1);
}

TEST(ToneSearch, HearsTheToneThroughLouderMusic) {
  const Tally tally = searches_within(test::music, 10.0);
  EXPECT_GE(tally.right, 110);
  EXPECT_LE(tally.wrong, 1);
}

TEST(ToneSearch, FindsAToneThatWows) {
  ToneSearch search({48000.0, 3000.0});
  const test::SineWow wow{.mean_hz = 3010.0, .peak = 0.005, .rate_hz = 4.0, .angle = 1.0};
  const auto found = find(search, test::sound_of(wow, span_s(search, 48000.0), 48000.0, 0.1));
  ASSERT_TRUE(found);
  EXPECT_NEAR(found->frequency_hz, 3010.0, 20.0);
}

TEST(ToneSearch, TakesSamplesFarBeyondFullScale) {
  ToneSearch search({48000.0, 3000.0});
  const auto found = find(search, test::tone(3000.0, span_s(search, 48000.0), 48000.0, 1e4));
  ASSERT_TRUE(found);
  EXPECT_NEAR(found->frequency_hz, 3000.0, 1.0);
}

}  // namespace
}  // namespace four76
