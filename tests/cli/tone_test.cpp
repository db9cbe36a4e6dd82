// `four76 tone`: what it writes is read back with our own reader and measured by plain sums.
#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <numbers>
#include <span>
#include <string>
#include <vector>

#include "core/signal/wav_reader.hpp"
#include "tests/cli/four76_run.hpp"

namespace four76::test {
namespace {

struct Sound {
  double rate_hz = 0.0;
  std::vector<float> samples;
};

Sound read_sound(const std::string& path) {
  const std::string bytes = read_file(path);
  auto reader = WavReader::open(std::as_bytes(std::span(bytes)));
  EXPECT_TRUE(reader) << path;
  if (!reader) return {};
  EXPECT_EQ(reader->layout().channels, 1);
  Sound sound{static_cast<double>(reader->layout().sample_rate_hz),
              std::vector<float>(static_cast<std::size_t>(reader->layout().frames))};
  reader->read(sound.samples);
  return sound;
}

// Phase in turns of a tone at the middle of a stretch of `count` samples from `at`.
double phase_at(const Sound& sound, double frequency_hz, std::size_t at, std::size_t count) {
  std::complex<double> sum;
  for (std::size_t n = at; n < at + count; ++n) {
    const double window =
        1.0 - std::cos(2.0 * std::numbers::pi * (static_cast<double>(n - at) + 0.5) / static_cast<double>(count));
    const double turns = std::fmod(static_cast<double>(n) * frequency_hz, sound.rate_hz) / sound.rate_hz;
    sum += static_cast<double>(sound.samples[n]) * window * std::polar(1.0, -2.0 * std::numbers::pi * turns);
  }
  return std::arg(sum) / (2.0 * std::numbers::pi);
}

TEST(ToneCommand, WritesAnExactFrequencyAndLevel) {
  const Folder folder;
  for (const auto& [hz, rate] :
       {std::pair{"3150", "48000"}, {"3000.123456", "44100"}, {"440", "8000"}, {"10000", "192000"}}) {
    const auto file = folder.path("t.wav");
    ASSERT_EQ(four76({"tone", file, "--tone", hz, "--seconds", "4", "--rate", rate, "--level", "-20"}).exit_status, 0);
    const Sound sound = read_sound(file);
    ASSERT_EQ(sound.samples.size(), static_cast<std::size_t>(4.0 * std::stod(rate)));
    const auto half_second = static_cast<std::size_t>(sound.rate_hz / 2.0);
    const double drift = phase_at(sound, std::stod(hz), 6 * half_second, half_second) -
                         phase_at(sound, std::stod(hz), half_second, half_second);
    EXPECT_NEAR(drift / 2.5, 0.0, 1e-6) << hz;  // hertz
    double power = 0.0;
    for (std::size_t n = half_second; n < 7 * half_second; ++n)
      power += std::pow(sound.samples[n], 2) / (6.0 * static_cast<double>(half_second));
    EXPECT_NEAR(10.0 * std::log10(2.0 * power), -20.0, 0.01);
  }
}

TEST(ToneCommand, BeginsAndEndsSoftly) {
  const Folder folder;
  ASSERT_EQ(four76({"tone", folder.path("t.wav"), "--tone", "3000", "--seconds", "1", "--level", "0"}).exit_status, 0);
  const Sound sound = read_sound(folder.path("t.wav"));
  const std::size_t last = sound.samples.size() - 1;
  for (std::size_t n = 0; n < 48; ++n) {  // a raised cosine over 10 ms is 2.4 % up after the first
    EXPECT_LT(std::abs(sound.samples[n]), 0.026);
    EXPECT_LT(std::abs(sound.samples[last - n]), 0.026);
  }
  for (const float sample : sound.samples) EXPECT_LE(std::abs(sample), 1.0f);
}

TEST(ToneCommand, MeasuresAsWhatItIs) {
  const Folder folder;
  ASSERT_EQ(four76({"tone", folder.path("t.wav"), "--tone", "3030", "--seconds", "5"}).exit_status, 0);
  const auto outcome = four76({"measure", folder.path("t.wav")});
  EXPECT_EQ(outcome.exit_status, 0) << outcome.out << outcome.err;
  EXPECT_NE(outcome.out.find("+1.000"), std::string::npos) << outcome.out;
}

TEST(ToneCommand, RefusesWhatCannotBeWritten) {
  const Folder folder;
  const auto refused = [&](const std::vector<std::string>& more, int status) {
    std::vector<std::string> arguments{"tone", folder.path("t.wav")};
    arguments.insert(arguments.end(), more.begin(), more.end());
    const auto outcome = four76(arguments);
    EXPECT_EQ(outcome.exit_status, status) << outcome.err;
    EXPECT_EQ(lines_in(outcome.err), 1) << outcome.err;
  };
  refused({"--tone", "3000"}, 2);
  refused({"--seconds", "3"}, 2);
  refused({"--tone", "0", "--seconds", "3"}, 2);
  refused({"--tone", "nan", "--seconds", "3"}, 2);
  refused({"--tone", "3000", "--seconds", "0"}, 2);
  refused({"--tone", "3000", "--seconds", "-1"}, 2);
  refused({"--tone", "3000", "--seconds", "nan"}, 2);
  refused({"--tone", "3000", "--seconds", "1e9"}, 2);
  refused({"--tone", "3000", "--seconds", "1", "--rate", "4000"}, 2);
  refused({"--tone", "3000", "--seconds", "1", "--rate", "44100.5"}, 2);
  refused({"--tone", "4000", "--seconds", "1", "--rate", "8000"}, 2);
  refused({"--tone", "3000", "--seconds", "1", "--level", "1"}, 2);
  const auto nowhere = four76({"tone", folder.path("gone/t.wav"), "--tone", "3000", "--seconds", "1"});
  EXPECT_EQ(nowhere.exit_status, 3);
  EXPECT_NE(nowhere.err.find("cannot be written"), std::string::npos) << nowhere.err;
}

}  // namespace
}  // namespace four76::test
