// The scenes themselves: that they are what they say, by oracles unlike the code that makes them.
#include "tests/scenes/scene.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "tests/scenes/catalogue.hpp"
#include "tests/scenes/reliability.hpp"
#include "tests/scenes/resample.hpp"
#include "tests/scenes/speech.hpp"

namespace four76::scenes {
namespace {

constexpr double kTau = 2.0 * std::numbers::pi;

// Times of rising zero crossings, between samples by a straight line.
std::vector<double> rising(const Samples& x, double rate_hz) {
  std::vector<double> times;
  for (std::size_t n = 1; n < x.size(); ++n)
    if (x[n - 1] < 0.0F && x[n] >= 0.0F) {
      const double part = static_cast<double>(x[n]) / static_cast<double>(x[n] - x[n - 1]);
      times.push_back((static_cast<double>(n) - part) / rate_hz);
    }
  return times;
}

double counted_hz(const Samples& x, double rate_hz) {
  const auto times = rising(x, rate_hz);
  return static_cast<double>(times.size() - 1) / (times.back() - times.front());
}

// Of the sine of that frequency in it.
double amplitude_at(const Samples& x, double hz, double rate_hz) {
  double re = 0.0, im = 0.0;
  for (std::size_t n = 0; n < x.size(); ++n) {
    const double phase = kTau * hz * static_cast<double>(n) / rate_hz;
    re += static_cast<double>(x[n]) * std::cos(phase);
    im += static_cast<double>(x[n]) * std::sin(phase);
  }
  return 2.0 * std::hypot(re, im) / static_cast<double>(x.size());
}

double energy(const Samples& x, double from_s, double to_s, double rate_hz) {
  double sum = 0.0;
  const auto last = std::min(x.size(), static_cast<std::size_t>(to_s * rate_hz));
  for (auto n = static_cast<std::size_t>(from_s * rate_hz); n < last; ++n)
    sum += static_cast<double>(x[n]) * static_cast<double>(x[n]);
  return sum;
}

Tape worn_tape(double seconds, std::uint64_t seed) {
  std::mt19937_64 random(seed);
  Tape tape;
  tape.error_percent = -1.3;
  add_portable_wow(tape, 0.3, seconds, random);
  return tape;
}

TEST(Scene, PlaysTheMeanThatItStates) {
  for (const double rate_hz : {44100.0, 48000.0, 96000.0}) {
    Scene scene("", rate_hz, 10.0, 476);
    scene.tape(worn_tape(10.0, 3));
    EXPECT_NEAR(counted_hz(scene.samples, rate_hz), scene.true_mean_hz, 3e-3);  // the ends' part of a period counts
    EXPECT_NEAR(scene.set_hz, 3000.0 * 0.987, 1e-9);
  }
}

TEST(Scene, StatesTheSpeedOfEveryMoment) {
  Scene scene("", 48000.0, 4.0, 476);
  scene.tape(worn_tape(4.0, 5));
  const auto& truth = scene.tones.at(0).true_hz;
  for (const double t : {0.5, 1.3, 2.2, 3.4}) {
    const Samples part(scene.samples.begin() + static_cast<std::ptrdiff_t>(48000.0 * t),
                       scene.samples.begin() + static_cast<std::ptrdiff_t>(48000.0 * (t + 0.05)));
    const auto first = static_cast<std::size_t>(1000.0 * t);
    double mean = 0.0;
    for (std::size_t i = first; i < first + 50; ++i) mean += static_cast<double>(truth[i]) / 50.0;
    EXPECT_NEAR(counted_hz(part, 48000.0), mean, 0.3);  // 0.01 %: a period less than the whole of it is counted
  }
}

TEST(Scene, MovesTheTruthWithLostSamples) {
  Scene scene("", 48000.0, 5.0, 7);
  Tape tape;
  tape.steps = {{2.5, 5.0}};
  scene.tape(tape);
  const std::size_t before = scene.tones.at(0).set_hz.size();
  scene.delete_samples(3, 4800, 4800);
  EXPECT_EQ(scene.samples.size(), 5u * 48000u - 3u * 4800u);
  EXPECT_NEAR(static_cast<double>(scene.tones.at(0).set_hz.size()), static_cast<double>(before) - 300.0, 3.0);
  scene.insert_zeros(2, 9600, 9600);
  EXPECT_NEAR(static_cast<double>(scene.tones.at(0).set_hz.size()), static_cast<double>(before) + 100.0, 5.0);
}

TEST(Scene, DecaysInARoomAsStated) {
  constexpr double kRate = 48000.0;
  Scene scene("", kRate, 2.0, 11);
  scene.samples[0] = 1.0F;
  scene.room(0.8, 3.0, 1.0);
  const double tail = energy(scene.samples, 1.0 / kRate, 2.0, kRate);
  EXPECT_NEAR(10.0 * std::log10(1.0 / tail), 3.0, 0.01);
  const double early = energy(scene.samples, 0.1, 0.2, kRate);
  const double late = energy(scene.samples, 0.5, 0.6, kRate);
  EXPECT_NEAR(10.0 * std::log10(early / late), 60.0 * 0.4 / 0.8, 1.0);
}

TEST(Scene, HoldsTheCarrierToNoiseThatItStates) {
  Scene scene("", 48000.0, 10.0, 13);
  scene.noise(50.0, 0.1);
  const double density = energy(scene.samples, 0.0, 10.0, 48000.0) / 480000.0 / 24000.0;  // one-sided, per hertz
  EXPECT_NEAR(10.0 * std::log10(0.1 * 0.1 / 2.0 / density), 50.0, 0.05);
}

// The standard's table (sources.md#weighting), which the curve fits within 0.34 dB.
TEST(Wow, IsWeightedByTheStandardsTable) {
  const double rates[] = {0.1, 0.2, 0.315, 0.4,  0.63, 0.8,  1.0,   1.6,  2.0,
                          4.0, 6.3, 10.0,  20.0, 40.0, 63.0, 100.0, 200.0};
  const double gains_db[] = {-48.0, -30.6, -19.7, -15.0, -8.4,  -6.0,  -4.2,  -1.8, -0.9,
                             0.0,   -0.9,  -2.1,  -5.9,  -10.4, -14.2, -17.3, -23.0};
  for (std::size_t i = 0; i < std::size(rates); ++i)
    EXPECT_NEAR(20.0 * std::log10(weighting(rates[i])), gains_db[i], 0.35) << rates[i];
}

TEST(Wow, ReadsTheStatedTwoSigma) {
  std::vector<Sinusoid> wow = {{4.0, 1.0, 0.3}};
  scale_to_weighted(wow, 0.2, 30.0);
  EXPECT_NEAR(wow[0].peak_percent, 0.2 / 0.997, 2e-4);  // a sine's peak: sources.md#wow-and-flutter
}

TEST(RandomProcess, HasTheStatedRms) {
  std::mt19937_64 random(17);
  const auto values = sum_of(random_process(0.5, 2.0, random), 120.0);
  double square = 0.0;
  for (const double value : values) square += value * value;
  EXPECT_NEAR(std::sqrt(square / static_cast<double>(values.size())), 0.5, 0.03);
}

TEST(Resample, KeepsTheFrequencyAndTheTime) {
  Samples tone(22050);
  for (std::size_t n = 0; n < tone.size(); ++n)
    tone[n] = static_cast<float>(std::sin(kTau * 1234.5 * static_cast<double>(n) / 22050.0));
  const Samples out = resample(tone, 22050.0, 96000.0);
  EXPECT_EQ(out.size(), 96000u);
  EXPECT_NEAR(counted_hz(out, 96000.0), 1234.5, 1e-2);
  EXPECT_NEAR(amplitude_at(out, 1234.5, 96000.0), 1.0, 0.01);
  EXPECT_LT(amplitude_at(out, 22050.0 - 1234.5, 96000.0), 0.003);  // no image
}

TEST(Speech, IsSpokenAtEveryRate) {
  for (int i = 0; i < speech_count(); ++i) {
    const auto& clip = speech_clip(i, 48000.0);
    EXPECT_GT(clip.size(), 48000u) << i;
    EXPECT_NEAR(energy(clip, 0.0, 100.0, 48000.0) / static_cast<double>(clip.size()), 1.0, 1e-3) << i;
    EXPECT_NEAR(static_cast<double>(speech_clip(i, 16000.0).size()), static_cast<double>(clip.size()) / 3.0, 2.0) << i;
  }
}

TEST(Catalogue, StatesATruthWhereThereIsATone) {
  for (const Listed& listed : list_scenes(3, 1)) {
    const Scene scene = listed.make();
    const auto loudest = [](float a, float b) { return std::abs(a) < std::abs(b); };
    EXPECT_LE(std::abs(*std::max_element(scene.samples.begin(), scene.samples.end(), loudest)), 1.0F) << listed.name;
    EXPECT_EQ(scene.tones.empty(), scene.kind == "nothing") << listed.name;
    if (scene.tones.empty()) continue;
    EXPECT_LT(std::abs(scene.true_mean_hz / scene.nominal_hz - 1.0), 0.25) << listed.name;
    EXPECT_NEAR(static_cast<double>(scene.tones[0].true_hz.size()) / kCurveRateHz, scene.seconds(), 0.2) << listed.name;
  }
}

// A reading that is off by so much of its u95.
Played played_with(const std::string& kind, const std::string& group, double ratio) {
  Outcome outcome;
  outcome.score.measured = 1;
  outcome.reading.u95_percent = 0.01;
  outcome.off_set_percent = ratio * 0.01;
  return {group, kind, {outcome}, {}};
}

TEST(Reliability, CountsByKindOrByClass) {
  const std::vector<Played> all{played_with("tone", "wow", 0.4), played_with("tone", "brief", -1.2),
                                played_with("gaps", "deleted", 0.9), played_with("nothing", "silence", 5.0)};
  const auto kinds = reliability_of(all);
  ASSERT_EQ(kinds.size(), 3U);
  EXPECT_EQ(kinds[0].name, "tone");
  EXPECT_EQ(kinds[0].count, 2);
  EXPECT_NEAR(kinds[0].rms_of_u95, std::sqrt((0.16 + 1.44) / 2.0), 1e-9);
  EXPECT_NEAR(kinds[0].actual_percent[4], 50.0, 1e-9);  // within u95 itself
  const auto classes = reliability_of(all, Rows::classes);
  ASSERT_EQ(classes.size(), 4U);
  EXPECT_EQ(classes[1].name, "brief");
  EXPECT_NEAR(classes[1].rms_of_u95, 1.2, 1e-9);
  EXPECT_EQ(classes.back().name, "all");
  EXPECT_EQ(classes.back().count, 3);
}

}  // namespace
}  // namespace four76::scenes
