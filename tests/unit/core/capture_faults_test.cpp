#include "core/tone/capture_faults.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

std::vector<float> steady(double seconds, double rate_hz = 48000.0, double amplitude = 0.1) {
  return test::tone(3001.3, seconds, rate_hz, amplitude, 0.1);
}

CaptureFaults seen(std::vector<float> x, double rate_hz = 48000.0, double nominal_hz = 3000.0) {
  CaptureFaults faults({rate_hz, nominal_hz});
  faults.process(x);
  return faults;
}

// Sine clipped by an overdrive of that many percent, at full scale.
std::vector<float> overdriven(double percent, double rate_hz, double tone_hz, double seconds = 2.0) {
  auto x = test::tone(tone_hz, seconds, rate_hz, 1.0 + percent / 100.0);
  for (float& v : x) v = std::clamp(v, -1.0F, 1.0F);
  return x;
}

// Browsers that run short insert 441 or 1,024 exact zeros (sources.md#browsers).
TEST(CaptureFaults, FindsTheRunsOfZerosThatBrowsersInsert) {
  for (const double rate_hz : {44100.0, 48000.0, 96000.0})
    for (const std::size_t zeros : {441u, 1024u}) {
      auto x = steady(1.0, rate_hz);
      x.insert(x.begin() + 20000, zeros, 0.0F);
      const auto faults = seen(x, rate_hz);
      EXPECT_EQ(faults.gap_count(), 1u) << zeros;
      EXPECT_NEAR(faults.lost_s() * rate_hz, static_cast<double>(zeros), 2.0);
      EXPECT_TRUE(faults.lost_between(20100.0, 20100.0));
      EXPECT_TRUE(faults.lost_between(0.0, 20000.0));
      EXPECT_FALSE(faults.lost_between(0.0, 19990.0));
      EXPECT_FALSE(faults.lost_between(20000.0 + static_cast<double>(zeros) + 2.0, 40000.0));
    }
}

TEST(CaptureFaults, DoesNotTakeZeroCrossingsOrSilenceForGaps) {
  EXPECT_EQ(seen(test::tone(3000.0, 1.0, 48000.0, 0.1)).gap_count(), 0u);  // a sample on each rising zero
  auto x = std::vector<float>(48000);
  const auto tone = steady(0.5);
  x.insert(x.end(), tone.begin(), tone.end());
  x.insert(x.end(), 48000 * 3, 0.0F);
  EXPECT_EQ(seen(x).gap_count(), 0u);  // silence before and after
  EXPECT_EQ(seen(std::vector<float>(48000)).gap_count(), 0u);
}

// Below -60 dBFS a 16-bit recording has runs of zeros of its own.
TEST(CaptureFaults, DoesNotTakeAQuiet16BitRecordingForOneWithGaps) {
  std::vector<float> x(48000 * 2);
  test::add_noise(x, 0.3 / 32768.0, 3);
  for (float& v : x) v = std::round(v * 32768.0F) / 32768.0F;
  EXPECT_EQ(seen(x).gap_count(), 0u);
}

TEST(CaptureFaults, CountsSamplesThatAreNotFiniteAndRepairsThem) {
  auto x = steady(1.0);
  x[10000] = std::numeric_limits<float>::quiet_NaN();
  x[20000] = std::numeric_limits<float>::infinity();
  x[20001] = -std::numeric_limits<float>::infinity();
  CaptureFaults faults({48000.0, 3000.0});
  faults.process(x);
  for (const float v : x) ASSERT_TRUE(std::isfinite(v));
  EXPECT_EQ(faults.gap_count(), 2u);
  EXPECT_TRUE(faults.lost_between(10000.0, 10000.0));
  EXPECT_TRUE(faults.lost_between(20001.0, 20001.0));
  EXPECT_FALSE(faults.lost_between(10001.0, 19999.0));
}

// A flat top lasts 2 acos(1 / (1 + overdrive)) of the period (derived). It takes three samples to see one: at 48 kHz
// and 3000 Hz an overdrive of 20 %. A clean full-scale sine must not count, nor one in step with the sample rate.
TEST(CaptureFaults, SeesClippingAndOnlyClipping) {
  for (const double rate_hz : {44100.0, 48000.0, 96000.0, 192000.0})
    for (const double tone_hz : {315.0, 1000.0, 3000.0}) {
      for (const double played_hz : {tone_hz, tone_hz * 1.003}) {
        const auto clean = seen(test::tone(played_hz, 2.0, rate_hz, 0.9999, 0.01), rate_hz, tone_hz);
        EXPECT_FALSE(clean.clipping_now()) << rate_hz << " " << played_hz;
        EXPECT_EQ(clean.clipped_share(), 0.0) << rate_hz << " " << played_hz;
      }
      for (const double percent : {5.0, 25.0, 200.0}) {
        const double flat = std::acos(1.0 / (1.0 + percent / 100.0)) / std::numbers::pi;
        if (flat * rate_hz / tone_hz < 3.0) continue;
        const auto faults = seen(overdriven(percent, rate_hz, tone_hz * 1.003), rate_hz, tone_hz);
        EXPECT_TRUE(faults.clipping_now()) << rate_hz << " " << tone_hz << " by " << percent;
        EXPECT_GT(faults.clipped_share(), 0.9) << rate_hz << " " << tone_hz << " by " << percent;
      }
    }
}

TEST(CaptureFaults, SeesThatClippingHasEnded) {
  auto x = overdriven(50.0, 48000.0, 3000.0, 1.0);
  const auto quiet = steady(1.0);
  x.insert(x.end(), quiet.begin(), quiet.end());
  const auto faults = seen(x);
  EXPECT_FALSE(faults.clipping_now());
  EXPECT_NEAR(faults.clipped_share(), 0.5, 0.01);
}

TEST(CaptureFaults, KnowsThePeakOfTheLastHalfSecondAndTheLoudestBlock) {
  EXPECT_FALSE(seen({}).peak_dbfs());
  EXPECT_FALSE(seen(std::vector<float>(48000)).peak_dbfs());
  EXPECT_NEAR(seen(steady(1.2)).peak_dbfs().value_or(0.0), -20.0, 0.05);
  auto x = steady(1.0, 48000.0, 0.5);
  const auto quiet = steady(1.5, 48000.0, 0.05);
  x.insert(x.end(), quiet.begin(), quiet.end());
  EXPECT_NEAR(seen(x).peak_dbfs().value_or(0.0), -26.02, 0.05);
  EXPECT_NEAR(seen(x).loudest_rms(), 0.5 / std::sqrt(2.0), 0.001);
}

TEST(CaptureFaults, DoesNotDependOnTheBlocks) {
  auto x = overdriven(5.0, 48000.0, 3000.0, 1.0);
  x.insert(x.begin() + 30000, 441, 0.0F);
  x[12345] = std::numeric_limits<float>::quiet_NaN();
  std::vector<CaptureFaults> results;
  for (const std::size_t piece : {1u, 128u, 4096u}) {
    auto copy = x;
    CaptureFaults faults({48000.0, 3000.0});
    for (std::size_t at = 0; at < copy.size(); at += piece)
      faults.process(std::span(copy).subspan(at, std::min(piece, copy.size() - at)));
    results.push_back(faults);
  }
  for (const auto& faults : results) {
    EXPECT_EQ(faults.gap_count(), results[0].gap_count());
    EXPECT_EQ(faults.lost_s(), results[0].lost_s());
    EXPECT_EQ(faults.clipped_share(), results[0].clipped_share());
    EXPECT_EQ(faults.peak_dbfs(), results[0].peak_dbfs());
    EXPECT_EQ(faults.sample_count(), x.size());
  }
}

TEST(CaptureFaults, StartsAfreshAtReset) {
  auto faults = seen(overdriven(20.0, 48000.0, 3000.0));
  faults.reset();
  EXPECT_EQ(faults.sample_count(), 0u);
  EXPECT_EQ(faults.clipped_share(), 0.0);
  EXPECT_FALSE(faults.peak_dbfs());
}

}  // namespace
}  // namespace four76
