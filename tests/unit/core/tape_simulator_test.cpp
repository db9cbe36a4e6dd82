#include "core/demo/tape_simulator.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <complex>
#include <cstddef>
#include <numbers>
#include <vector>

namespace four76 {
namespace {

constexpr double kTwoPi = 2.0 * std::numbers::pi;

// A machine without any fault: trim 0, no wow, no level changes, hiss far below anything that a float can show.
TapeSimulator::Config perfect() {
  TapeSimulator::Config config;
  config.trim_percent = 0.0;
  config.hiss_dbhz = 300.0;
  config.capstan_peak_percent = config.roller_peak_percent = config.reel_peak_percent = 0.0;
  config.belt_peak_percent = config.belt_second_percent = config.random_rms_percent = 0.0;
  config.amplitude_flutter_db = 0.0;
  return config;
}

std::vector<float> render(TapeSimulator& tape, double seconds) {
  const auto frames = static_cast<std::size_t>(std::lround(seconds * tape.config().sample_rate_hz));
  std::vector<float> out(frames * static_cast<std::size_t>(tape.config().channels));
  tape.render(out);
  return out;
}

std::vector<float> channel_of(const std::vector<float>& interleaved, std::size_t channel, std::size_t channels) {
  std::vector<float> out;
  for (std::size_t i = channel; i < interleaved.size(); i += channels) out.push_back(interleaved[i]);
  return out;
}

// Direct Fourier sum: the complex peak amplitude of x at one frequency.
template <class T>
std::complex<double> fourier_sum(const std::vector<T>& x, double rate_hz, double frequency_hz) {
  std::complex<double> sum;
  for (std::size_t n = 0; n < x.size(); ++n)
    sum += static_cast<double>(x[n]) *
           std::polar(1.0, -kTwoPi * std::fmod(frequency_hz * static_cast<double>(n) / rate_hz, 1.0));
  return 2.0 * sum / static_cast<double>(x.size());
}

// The true speed error, read off every `every` frames.
std::vector<double> true_speed_percent(TapeSimulator& tape, double seconds, std::size_t every) {
  std::vector<double> speed;
  std::vector<float> block(every);
  const auto count = static_cast<std::size_t>(std::lround(seconds * tape.config().sample_rate_hz)) / every;
  for (std::size_t i = 0; i < count; ++i) {
    tape.render(block);
    speed.push_back(tape.instantaneous_speed_error_percent());
  }
  return speed;
}

double rms(const std::vector<double>& x) {
  double sum = 0.0;
  for (const double v : x) sum += v * v;
  return std::sqrt(sum / static_cast<double>(x.size()));
}

TEST(TapeSimulator, PlaysExactlyTheTonesFrequencyAndLevelWhenPerfect) {
  for (const double rate_hz : {8000.0, 44100.0, 48000.0, 96000.0}) {
    auto config = perfect();
    config.sample_rate_hz = rate_hz;
    TapeSimulator tape(config);
    const auto x = render(tape, 2.0);
    EXPECT_NEAR(tape.mean_frequency_hz(), 3000.0, 1e-8);
    EXPECT_NEAR(20.0 * std::log10(std::abs(fourier_sum(x, rate_hz, 3000.0))), config.level_dbfs, 1e-4);
  }
}

// The sound, sample by sample, is a sine whose phase is the sum of the true speeds: then the truth tells the truth.
TEST(TapeSimulator, SoundFollowsItsOwnTruthSampleBySample) {
  TapeSimulator::Config config;
  config.hiss_dbhz = 300.0;
  config.amplitude_flutter_db = 0.0;
  TapeSimulator tape(config);
  const double amplitude = std::pow(10.0, config.level_dbfs / 20.0);
  std::vector<float> sound;
  std::vector<double> cycles{0.0};
  for (int n = 0; n < 5 * 48000; ++n) {
    float sample = 0.0f;
    tape.render({&sample, 1});
    sound.push_back(sample);
    cycles.push_back(cycles.back() +
                     config.tone_hz * (1.0 + tape.instantaneous_speed_error_percent() / 100.0) / 48000.0);
  }
  // The starting phase by a sine-cosine fit over the first hundred samples.
  double ss = 0, cc = 0, sc = 0, xs = 0, xc = 0;
  for (std::size_t n = 0; n < 100; ++n) {
    const double s = std::sin(kTwoPi * cycles[n]), c = std::cos(kTwoPi * cycles[n]);
    ss += s * s, cc += c * c, sc += s * c, xs += sound[n] * s, xc += sound[n] * c;
  }
  const double start = std::atan2(ss * xc - sc * xs, cc * xs - sc * xc);
  double worst = 0.0;
  for (std::size_t n = 0; n < sound.size(); ++n)
    worst = std::max(worst, std::abs(sound[n] - amplitude * std::sin(kTwoPi * cycles[n] + start)));
  EXPECT_LT(worst / amplitude, 1e-6);
  EXPECT_NEAR(tape.mean_frequency_hz(), cycles.back() / 5.0, 1e-7);
}

TEST(TapeSimulator, MeanFrequencyStartsAfreshAtAMark) {
  auto config = perfect();
  config.trim_percent = 1.0;
  TapeSimulator tape(config);
  render(tape, 1.0);
  EXPECT_NEAR(tape.mean_frequency_hz(), 3030.0, 1e-8);
  tape.set_trim_percent(-1.0);
  render(tape, 2.0);
  tape.mark();
  EXPECT_NEAR(tape.mean_frequency_hz(), 2970.0, 1e-6);
  render(tape, 1.0);
  EXPECT_NEAR(tape.mean_frequency_hz(), 2970.0, 1e-6);
}

TEST(TapeSimulator, TrimmerIsFollowedThroughAnEightyMillisecondLag) {
  auto config = perfect();
  config.trim_percent = 2.0;
  TapeSimulator tape(config);
  render(tape, 0.5);
  tape.set_trim_percent(-1.0);
  EXPECT_EQ(tape.trim_percent(), -1.0);
  EXPECT_NEAR(tape.instantaneous_speed_error_percent(), 2.0, 1e-9);
  for (int n = 0; n <= 240 * 48; ++n) {
    float sample = 0.0f;
    tape.render({&sample, 1});
    const double t_s = n / 48000.0;
    ASSERT_NEAR(tape.instantaneous_speed_error_percent(), -1.0 + 3.0 * std::exp(-t_s / 0.080), 1e-9);
  }
}

// 100 s hold whole turns of every part, so that a direct Fourier sum sees each alone.
TEST(TapeSimulator, EveryPartTurnsAtItsRateAndPeak) {
  TapeSimulator::Config config;
  config.sample_rate_hz = 16000.0;
  config.trim_percent = 0.0;
  config.random_rms_percent = 0.0;
  TapeSimulator tape(config);
  const auto speed = true_speed_percent(tape, 100.0, 16);
  const auto peak_percent = [&](double rate_hz) { return std::abs(fourier_sum(speed, 1000.0, rate_hz)); };
  EXPECT_NEAR(peak_percent(7.6), 0.08, 1e-6);
  EXPECT_NEAR(peak_percent(1.26), 0.10, 1e-6);
  EXPECT_NEAR(peak_percent(0.52), 0.12, 1e-6);
  EXPECT_NEAR(peak_percent(2.9), 0.06, 1e-6);
  EXPECT_NEAR(peak_percent(5.8), 0.025, 1e-6);
  EXPECT_NEAR(peak_percent(4.0), 0.0, 1e-6);
  EXPECT_NEAR(tape.mean_frequency_hz(), 3000.0, 1e-6);  // whole turns leave the mean alone
}

TEST(TapeSimulator, PartsTurnFasterWhenTheMachineDoes) {
  auto config = perfect();
  config.sample_rate_hz = 16000.0;
  config.trim_percent = 5.0;
  config.capstan_hz = 8.0;
  config.capstan_peak_percent = 0.1;
  TapeSimulator tape(config);
  const auto speed = true_speed_percent(tape, 10.0, 16);
  EXPECT_NEAR(std::abs(fourier_sum(speed, 1000.0, 8.4)), 0.1 * 1.05, 1e-5);
}

TEST(TapeSimulator, RandomWowHasItsRmsAndStaysSlow) {
  auto config = perfect();
  config.sample_rate_hz = 8000.0;
  config.random_rms_percent = 0.05;
  TapeSimulator tape(config);
  const auto speed = true_speed_percent(tape, 800.0, 80);
  EXPECT_NEAR(rms(speed), 0.05, 0.0025);  // some 2500 independent values: 1.4 % standard error
  std::vector<double> steps;              // over 10 ms; a 1 Hz wander moves by about 2 pi / 100 of its rms
  for (std::size_t i = 1; i < speed.size(); ++i) steps.push_back(speed[i] - speed[i - 1]);
  EXPECT_LT(rms(steps), 0.05 * 0.10);
}

// Independent of the generator: subtract the tone by a Fourier sum over whole cycles, call the rest noise.
TEST(TapeSimulator, HissHasTheAskedCarrierToNoiseDensity) {
  for (const double rate_hz : {44100.0, 48000.0, 96000.0}) {
    auto config = perfect();
    config.sample_rate_hz = rate_hz;
    config.channels = 2;
    config.hiss_dbhz = 55.0;
    TapeSimulator tape(config);
    const auto both = render(tape, 5.0);
    for (const std::size_t channel : {0u, 1u}) {
      const auto x = channel_of(both, channel, 2);
      const auto tone = fourier_sum(x, rate_hz, 3000.0);
      double variance = 0.0;
      for (std::size_t n = 0; n < x.size(); ++n) {
        const double sine =
            (tone * std::polar(1.0, kTwoPi * std::fmod(3000.0 * static_cast<double>(n) / rate_hz, 1.0))).real();
        variance += (x[n] - sine) * (x[n] - sine) / static_cast<double>(x.size());
      }
      const double density_per_hz = variance / (rate_hz / 2.0);
      EXPECT_NEAR(10.0 * std::log10(std::norm(tone) / 2.0 / density_per_hz), 55.0, 0.1);
    }
  }
}

TEST(TapeSimulator, HissIsWhite) {
  auto config = perfect();
  config.hiss_dbhz = 55.0;
  TapeSimulator tape(config);
  const auto x = render(tape, 1.0);
  const double carrier = std::pow(10.0, config.level_dbfs / 10.0) / 2.0;
  for (const double centre_hz : {500.0, 2800.0, 3200.0, 11000.0, 22000.0}) {
    double power = 0.0;  // mean over 60 bins of 1 Hz: 0.56 dB standard error
    for (int k = 0; k < 60; ++k) power += std::norm(fourier_sum(x, 48000.0, centre_hz + k - 30)) / 2.0 / 60.0;
    EXPECT_NEAR(10.0 * std::log10(carrier / power), 55.0, 2.2) << centre_hz;
  }
}

TEST(TapeSimulator, BothChannelsCarryOneTapeWithHissOfTheirOwn) {
  auto config = perfect();
  config.channels = 2;
  config.hiss_dbhz = 40.0;
  TapeSimulator tape(config);
  const auto both = render(tape, 2.0);
  const auto left = channel_of(both, 0, 2), right = channel_of(both, 1, 2);
  double difference = 0.0;
  for (std::size_t n = 0; n < left.size(); ++n)
    difference += std::pow(left[n] - right[n], 2) / static_cast<double>(left.size());
  const double amplitude = std::pow(10.0, config.level_dbfs / 20.0);
  const double hiss_variance = amplitude * amplitude / 2.0 * 1e-4 * 24000.0;
  EXPECT_NEAR(difference / hiss_variance, 2.0, 0.05);
}

TEST(TapeSimulator, LevelWandersWithinItsBounds) {
  auto config = perfect();
  config.amplitude_flutter_db = 0.5;
  TapeSimulator tape(config);
  double lowest = 0.0, highest = -100.0;
  for (int i = 0; i < 400; ++i) {  // 50 ms at a time
    const double level = 20.0 * std::log10(std::abs(fourier_sum(render(tape, 0.05), 48000.0, 3000.0)));
    lowest = std::min(lowest, level);
    highest = std::max(highest, level);
  }
  EXPECT_LT(highest, config.level_dbfs + 0.5);
  EXPECT_GT(lowest, config.level_dbfs - 0.5);
  EXPECT_GT(highest - lowest, 0.4);
}

TEST(TapeSimulator, SoundsTheSameInBlocksOfAnySize) {
  TapeSimulator::Config config;
  config.channels = 2;
  std::vector<std::vector<float>> sounds;
  for (const std::size_t block : {1u, 128u, 4096u}) {
    TapeSimulator tape(config);
    std::vector<float> sound(2 * 48000);
    for (std::size_t at = 0; at < sound.size(); at += 2 * block) {
      if (at <= 2 * 4096 * 4 && at + 2 * block > 2 * 4096 * 4) tape.set_trim_percent(-0.5);
      tape.render(std::span(sound).subspan(at, std::min(2 * block, sound.size() - at)));
    }
    sounds.push_back(sound);
  }
  EXPECT_EQ(sounds[0], sounds[1]);
  EXPECT_EQ(sounds[0], sounds[2]);
}

TEST(TapeSimulator, ResetPlaysTheSameTapeAgain) {
  TapeSimulator tape(TapeSimulator::Config{});
  const auto first = render(tape, 0.3);
  const double mean_hz = tape.mean_frequency_hz();
  tape.set_trim_percent(0.0);
  render(tape, 0.3);
  tape.reset();
  EXPECT_DOUBLE_EQ(tape.trim_percent(), 1.8);
  EXPECT_EQ(render(tape, 0.3), first);
  EXPECT_EQ(tape.mean_frequency_hz(), mean_hz);
}

TEST(TapeSimulator, AnotherSeedIsAnotherTape) {
  TapeSimulator::Config config;
  TapeSimulator one(config);
  config.seed = 477;
  TapeSimulator other(config);
  EXPECT_NE(render(one, 0.1), render(other, 0.1));
}

}  // namespace
}  // namespace four76
