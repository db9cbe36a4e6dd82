// The correction against a converter that is built here: it takes its samples at its own rate, and the session is told
// another.
#include "core/records/clock_correction.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <vector>

#include "core/tone/tone_session.hpp"

namespace four76 {
namespace {

Reading reading(double hz, double known_hz, double u95_percent, double trusted_s = 25.0) {
  Reading made;
  made.status = Status::measured;
  made.frequency_hz = hz;
  made.speed_error_percent = 100.0 * (hz / known_hz - 1.0);
  made.u95_percent = u95_percent;
  made.trusted_s = trusted_s;
  return made;
}

// A true tone on a converter that runs `fast_ppm` fast, read by a session that takes `told_hz` for its rate.
Reading heard(double tone_hz, double fast_ppm, double told_hz, double known_hz, double seconds) {
  const double taken_hz = 48000.0 * (1.0 + fast_ppm * 1e-6);
  ToneSession::Config config;
  config.sample_rate_hz = told_hz;
  config.nominal_hz = known_hz;
  ToneSession session(config);
  std::vector<float> samples(static_cast<std::size_t>(seconds * taken_hz));
  for (std::size_t i = 0; i < samples.size(); ++i) {
    const double turns = std::fmod(tone_hz * static_cast<double>(i) / taken_hz, 1.0);
    samples[i] = static_cast<float>(0.1 * std::sin(2.0 * std::numbers::pi * turns));
  }
  session.process(samples);
  return session.whole(0);
}

TEST(ClockCorrection, FindsAConverterThatRunsFastAndMendsIt) {
  for (const double fast_ppm : {34.0, -187.5}) {
    const Reading wrong = heard(1000.0, fast_ppm, 48000.0, 1000.0, 22.0);
    const auto found = find_clock_correction(wrong, 1000.0, 1.0);
    ASSERT_TRUE(found) << static_cast<int>(found.fault());
    EXPECT_NEAR(found->fast_ppm, fast_ppm, 0.05);
    EXPECT_GT(found->u95_ppm, 0.999);
    EXPECT_LT(found->u95_ppm, 1.5);
    const double rate_hz = true_sample_rate_hz(48000.0, found->fast_ppm);
    EXPECT_NEAR(*heard(3015.0, fast_ppm, rate_hz, 3000.0, 5.0).speed_error_percent, 0.5, 2e-5);
  }
}

TEST(ClockCorrection, ReadsLowWhereTheConverterRunsFast) {
  const auto found = find_clock_correction(reading(999.966, 1000.0, 0.0001), 1000.0, 0.0);
  ASSERT_TRUE(found);
  EXPECT_NEAR(found->fast_ppm, 34.001, 0.001);  // 1000 / 999.966 - 1
}

TEST(ClockCorrection, ItsUncertaintyIsThatOfReadingAndSourceTogether) {
  const auto found = find_clock_correction(reading(1000.0, 1000.0, 0.0003), 1000.0, 4.0);  // 3 ppm and 4 ppm
  ASSERT_TRUE(found);
  EXPECT_NEAR(found->u95_ppm, 5.0, 1e-9);
}

TEST(ClockCorrection, RefusesWhatIsNoCheck) {
  Reading doubtful = reading(1000.0, 1000.0, 0.0001);
  doubtful.status = Status::unreliable;
  EXPECT_EQ(find_clock_correction(doubtful, 1000.0, 1.0).fault(), ClockFault::not_measured);
  EXPECT_EQ(find_clock_correction(Reading{}, 1000.0, 1.0).fault(), ClockFault::not_measured);
  EXPECT_EQ(find_clock_correction(reading(1000.0, 1000.0, 0.0001, 19.9), 1000.0, 1.0).fault(), ClockFault::too_short);
  EXPECT_EQ(find_clock_correction(reading(1002.0, 1000.0, 0.0001), 1000.0, 1.0).fault(), ClockFault::no_clock);
  EXPECT_EQ(find_clock_correction(reading(998.9, 1000.0, 0.0001), 1000.0, 1.0).fault(), ClockFault::no_clock);
  EXPECT_EQ(find_clock_correction(reading(1000.0, 1000.0, 0.011), 1000.0, 1.0).fault(), ClockFault::too_uncertain);
  EXPECT_EQ(find_clock_correction(reading(1000.0, 1000.0, 0.0001), 1000.0, 100.1).fault(), ClockFault::too_uncertain);
  EXPECT_EQ(find_clock_correction(reading(1000.0, 1000.0, 0.0001), 1000.0, std::nan("")).fault(),
            ClockFault::too_uncertain);
}

TEST(ClockCorrection, AWrongFrequencyIsNamedAsOneEvenWhereTheReadingIsDoubted) {
  Reading other = reading(3150.0, 3000.0, 0.001);
  other.status = Status::unreliable;
  other.reasons.add(Reason::wrong_tone);
  EXPECT_EQ(find_clock_correction(other, 3000.0, 1.0).fault(), ClockFault::no_clock);
}

TEST(ClockCorrection, OfNothingThereIsNothingSoFar) {
  EXPECT_FALSE(clock_so_far(Reading{}, 1000.0, 1.0).has_value());
  EXPECT_NEAR(clock_so_far(reading(1000.0, 1000.0, 0.02, 3.0), 1000.0, 0.0)->u95_ppm, 200.0, 1e-9);
}

}  // namespace
}  // namespace four76
