#include "core/tone/tone_session.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <utility>
#include <vector>

#include "core/signal/uncertainty.hpp"
#include "core/tone/nominal_tones.hpp"
#include "tests/unit/core/session_runs.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

using test::listening;

// 70 dB-Hz over 4 s: the bound is 0.015 mHz (Rife and Boorstyn), so four times u95 stays far below 0.0001 %.
void expect_measured(double nominal_hz, double rate_hz, double error_percent) {
  const double tone_hz = nominal_hz * (1.0 + error_percent / 100.0);
  auto known = listening(rate_hz, nominal_hz);
  known.tone_is_sure = true;  // far off it may lie on another standard tone
  const auto reading = test::whole_reading(test::clean_tape(tone_hz, 4.0, rate_hz), known);
  ASSERT_EQ(reading.status, Status::measured) << nominal_hz << " at " << rate_hz;
  ASSERT_TRUE(reading.frequency_hz && reading.speed_error_percent && reading.u95_percent && reading.level_dbfs &&
              reading.carrier_to_noise_dbhz);
  EXPECT_NEAR(*reading.speed_error_percent, error_percent, 2.0 * *reading.u95_percent)
      << nominal_hz << " at " << rate_hz;
  EXPECT_NEAR(*reading.frequency_hz, tone_hz, 0.02 * *reading.u95_percent * nominal_hz)
      << nominal_hz << " at " << rate_hz;
  // 2e-5 % is three times the bound's 1.96 sigma. In 5 of 100 the noise looks like wow, and u95 is up to three times
  // wider.
  EXPECT_LT(*reading.noise_u95_percent, 2e-5 * 3000.0 / nominal_hz) << nominal_hz << " at " << rate_hz;
  EXPECT_LT(*reading.u95_percent, 6e-5 * 3000.0 / nominal_hz) << nominal_hz << " at " << rate_hz;
  EXPECT_NEAR(*reading.level_dbfs, -20.0, 0.05) << nominal_hz << " at " << rate_hz;
  EXPECT_NEAR(*reading.carrier_to_noise_dbhz, 70.0, 1.5) << nominal_hz << " at " << rate_hz;
  EXPECT_GT(reading.trusted_s, 3.8) << nominal_hz << " at " << rate_hz;
}

TEST(ToneSession, MeasuresAKnownToneAtEveryRate) {
  for (const double rate_hz : {8000.0, 16000.0, 22050.0, 44100.0, 48000.0, 96000.0, 192000.0})
    expect_measured(3000.0, rate_hz, 0.7);
}

TEST(ToneSession, MeasuresEveryStandardTone) {
  for (const double nominal_hz : kStandardTonesHz) expect_measured(nominal_hz, 48000.0, -1.3);
}

TEST(ToneSession, MeasuresTypedTonesAndFarOffMachines) {
  for (const double nominal_hz : {100.0, 250.0, 2222.0, 10000.0}) expect_measured(nominal_hz, 48000.0, 0.4);
  for (const double error_percent : {-24.0, -12.0, 11.0, 24.0}) expect_measured(2600.0, 44100.0, error_percent);
}

// The RMS error lies at the bound (sources.md#the-cramer-rao-bound); u95 claims 1.96 of it for the stretch it rests on.
TEST(ToneSession, ClaimsTheUncertaintyOfTheBound) {
  const auto reading = test::whole_reading(test::clean_tape(3010.0, 6.0, 16000.0), listening(16000.0));
  ASSERT_TRUE(reading.noise_u95_percent);
  const double bound_percent = 1.96 * cramer_rao_sigma_hz(1e7, reading.trusted_s) / 30.0;
  EXPECT_NEAR(*reading.noise_u95_percent / bound_percent, 1.0, 0.15);
}

TEST(ToneSession, SaysNoToneInSilenceAndInNoise) {
  const auto silent = test::whole_reading(std::vector<float>(48000 * 2), listening(48000.0));
  EXPECT_EQ(silent.status, Status::no_tone);
  EXPECT_TRUE(silent.reasons.contains(Reason::no_tone));
  EXPECT_TRUE(silent.reasons.contains(Reason::too_quiet));
  EXPECT_FALSE(silent.frequency_hz || silent.speed_error_percent || silent.u95_percent || silent.level_dbfs);
  for (std::uint64_t seed = 0; seed < 5; ++seed) {
    std::vector<float> noise(16000 * 6);
    test::add_noise(noise, 0.1, seed);
    const auto reading = test::whole_reading(noise, listening(16000.0));
    EXPECT_EQ(reading.status, Status::no_tone) << seed;
    EXPECT_FALSE(reading.reasons.contains(Reason::too_quiet)) << seed;
  }
}

TEST(ToneSession, SaysNothingBeforeAnySample) {
  ToneSession session(listening(48000.0, 3000.0, 2));
  EXPECT_EQ(session.dial_count(), 0u);
  EXPECT_EQ(session.whole(0).status, Status::no_tone);
  EXPECT_EQ(session.channels_agree(), std::nullopt);
  EXPECT_TRUE(session.spectrum(1).level_dbfs.empty());
  EXPECT_TRUE(session.zoom(0).level_dbfs.empty());
  EXPECT_EQ(session.input_peak_dbfs(0), std::nullopt);
  std::vector<TrailPoint> trail(10);
  EXPECT_EQ(session.trail(0, trail), 0u);
}

TEST(ToneSession, TakesSamplesThatAreNoNumbersOrFarTooLarge) {
  auto x = test::clean_tape(3006.0, 5.0, 48000.0);
  x[40000] = std::numeric_limits<float>::quiet_NaN();
  x[90000] = std::numeric_limits<float>::infinity();
  const auto reading = test::whole_reading(x, listening(48000.0));
  ASSERT_EQ(reading.status, Status::measured);
  EXPECT_TRUE(reading.reasons.contains(Reason::capture_gap));
  EXPECT_NEAR(*reading.speed_error_percent, 0.2, *reading.u95_percent);
  x[150000] = 1e30F;  // a number, but no sample: the reading may be withheld, but not wrong
  const auto struck = test::whole_reading(x, listening(48000.0));
  ASSERT_TRUE(struck.speed_error_percent && struck.u95_percent);
  EXPECT_NEAR(*struck.speed_error_percent, 0.2, *struck.u95_percent);
  for (const float bad : {std::numeric_limits<float>::quiet_NaN(), 1e38F, std::numeric_limits<float>::max()}) {
    const auto nothing = test::whole_reading(std::vector<float>(48000 * 2, bad), listening(48000.0));
    EXPECT_NE(nothing.status, Status::measured);
  }
}

// What is lost is lost in both: that no number equals itself does not tell the channels apart.
TEST(ToneSession, AMonoSourceStaysOneWhereSamplesAreNoNumbers) {
  auto x = test::clean_tape(3006.0, 2.0, 16000.0);
  x[20000] = std::numeric_limits<float>::quiet_NaN();
  ToneSession same(listening(16000.0, 3000.0, 2));
  same.process(test::stereo(x, x));
  EXPECT_EQ(same.channels_identical(), std::optional(true));
  auto other = x;
  other[25000] += 1e-3F;
  ToneSession differ(listening(16000.0, 3000.0, 2));
  differ.process(test::stereo(x, other));
  EXPECT_EQ(differ.channels_identical(), std::optional(false));
}

TEST(ToneSession, MeasuresFarBeyondFullScaleToo) {
  const auto reading = test::whole_reading(test::clean_tape(3006.0, 3.0, 48000.0, 100.0), listening(48000.0));
  ASSERT_TRUE(reading.speed_error_percent && reading.level_dbfs);
  EXPECT_NEAR(*reading.speed_error_percent, 0.2, 1e-4);
  EXPECT_NEAR(*reading.level_dbfs, 40.0, 0.1);
}

TEST(ToneSession, RefusesConfigurationsInWords) {
  EXPECT_EQ(ToneSession::fault_in(listening(48000.0)), std::nullopt);
  const std::vector<ToneSession::Config> bad = {{.sample_rate_hz = 7991.0},
                                                {.sample_rate_hz = 192193.0},
                                                {.sample_rate_hz = std::nan("")},
                                                {.channels = 0},
                                                {.channels = 3},
                                                {.nominal_hz = 99.0},
                                                {.nominal_hz = 10001.0},
                                                {.nominal_hz = std::nan("")},
                                                {.discard_s = -1.0},
                                                {.discard_s = 1e9},
                                                {.dial_window_s = 0.01},
                                                {.calm_window_s = 1000.0},
                                                {.sample_rate_hz = 8000.0, .nominal_hz = 3900.0}};
  for (const auto& config : bad) {
    const auto fault = ToneSession::fault_in(config);
    ASSERT_TRUE(fault);
    EXPECT_GT(fault->size(), 20u);
  }
}

TEST(ToneSession, StartsAfreshAtResetAndMovesWhole) {
  const auto first = test::clean_tape(2900.0, 2.0, 48000.0);
  const auto second = test::clean_tape(3006.0, 2.0, 48000.0);
  ToneSession used(listening(48000.0));
  used.process(first);
  used.reset();
  EXPECT_EQ(used.time_s(), 0.0);
  EXPECT_EQ(used.dial_count(), 0u);
  used.process(std::span(second).first(50000));
  ToneSession moved(std::move(used));
  moved.process(std::span(second).subspan(50000));
  EXPECT_EQ(moved.whole(0).frequency_hz, test::whole_reading(second, listening(48000.0)).frequency_hz);
  EXPECT_NEAR(moved.time_s(), 2.0, 1e-9);
}

// A live capture drops its first second (sources.md#browsers): what is there is neither measured nor counted as a
// fault.
TEST(ToneSession, DropsItsStartWhereAsked) {
  auto x = test::clean_tape(3006.0, 4.0, 48000.0);
  std::fill(x.begin() + 10000, x.begin() + 12000, 0.0F);
  auto config = listening(48000.0);
  config.discard_s = 1.0;
  const auto reading = test::whole_reading(x, config);
  EXPECT_EQ(reading.status, Status::measured);
  EXPECT_FALSE(reading.reasons.contains(Reason::capture_gap));
  EXPECT_LT(reading.trusted_s, 3.01);
  EXPECT_NEAR(*reading.speed_error_percent, 0.2, *reading.u95_percent);
}

}  // namespace
}  // namespace four76
