#include "core/bench/test_tape.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "core/signal/wav_reader.hpp"
#include "core/signal/wav_writer.hpp"
#include "tests/unit/core/session_runs.hpp"

namespace four76 {
namespace {

Reading reading_at(double percent, double u95 = 0.02) {
  Reading reading;
  reading.status = Status::measured;
  reading.speed_error_percent = percent;
  reading.u95_percent = u95;
  return reading;
}

std::vector<float> all_of(TestTone& tone, std::size_t block) {
  std::vector<float> all, piece(block);
  while (const std::size_t made = tone.process(piece))
    all.insert(all.end(), piece.begin(), piece.begin() + static_cast<std::ptrdiff_t>(made));
  return all;
}

TEST(TestTone, IsTheSineItSaysHoweverItIsCut) {
  TestTone::Config config;
  config.tone_hz = 3150.123;
  config.sample_rate_hz = 44100;
  config.steps = {{1.0, -6.0}, {0.5, -20.0}};
  TestTone tone(config);
  EXPECT_EQ(tone.frames(), 66150u);
  const auto all = all_of(tone, 4096);
  ASSERT_EQ(all.size(), 66150u);
  for (const std::size_t n : {1000u, 20001u, 43000u, 50000u, 60000u}) {
    const double level = std::pow(10.0, (n < 44100 ? -6.0 : -20.0) / 20.0);
    EXPECT_NEAR(all[n], level * std::sin(test::kTwoPi * 3150.123 * static_cast<double>(n) / 44100.0), 2e-6) << n;
  }
  EXPECT_EQ(all.front(), 0.0F);
  EXPECT_NEAR(all[44099], 0.0, 1e-6);
  for (const std::size_t block : {1u, 128u}) {
    tone.reset();
    EXPECT_EQ(all_of(tone, block), all) << block;
  }
}

TEST(TestTone, ReadsBackAsItsFrequency) {
  TestTone::Config config;
  config.tone_hz = 3003.27;
  config.sample_rate_hz = 24000;
  config.steps = {{6.0, -12.0}};
  TestTone tone(config);
  const Reading whole = test::whole_reading(all_of(tone, 4096), test::listening(24000.0));
  ASSERT_EQ(whole.status, Status::measured);
  EXPECT_NEAR(*whole.frequency_hz, 3003.27, 1e-4);
}

TEST(TestTone, SaysWhatItCannotMake) {
  TestTone::Config config;
  EXPECT_FALSE(TestTone::fault_in(config));
  const auto faulty = [](auto change) {
    TestTone::Config bad;
    change(bad);
    return TestTone::fault_in(bad).has_value();
  };
  EXPECT_TRUE(faulty([](auto& bad) { bad.tone_hz = std::nan(""); }));
  EXPECT_TRUE(faulty([](auto& bad) { bad.tone_hz = 22000.0; }));
  EXPECT_TRUE(faulty([](auto& bad) { bad.sample_rate_hz = 0; }));
  EXPECT_TRUE(faulty([](auto& bad) { bad.steps.clear(); }));
  EXPECT_TRUE(faulty([](auto& bad) { bad.steps[0].seconds = 0.0; }));
  EXPECT_TRUE(faulty([](auto& bad) { bad.steps[0].seconds = 1e9; }));
  EXPECT_TRUE(faulty([](auto& bad) { bad.steps[0].level_dbfs = 1.0; }));
}

TEST(WavWriter, WritesWhatTheReaderReads) {
  const std::vector<float> samples = {0.0F, 0.5F, -0.5F, 1.5F, -1.5F, std::nanf("")};
  const auto head = wav_head(48000, 1, samples.size());
  ASSERT_TRUE(head);
  std::vector<std::byte> file(head->begin(), head->end());
  file.resize(kWavHeadBytes + 2 * samples.size());
  Pcm16 pcm;
  pcm.process(samples, std::span(file).subspan(kWavHeadBytes));
  auto reader = WavReader::open(file);
  ASSERT_TRUE(reader);
  EXPECT_EQ(reader->layout().sample_rate_hz, 48000u);
  EXPECT_FALSE(reader->layout().truncated);
  std::vector<float> back(samples.size());
  ASSERT_EQ(reader->read(back), samples.size());
  for (const std::size_t i : {0u, 1u, 2u}) EXPECT_NEAR(back[i], samples[i], 2.0 / 32768.0);
  EXPECT_NEAR(back[3], 1.0, 1e-4);
  EXPECT_EQ(back[4], -1.0F);
  EXPECT_NEAR(back[5], 0.0, 2.0 / 32768.0);
  EXPECT_FALSE(wav_head(0, 1, 1));
  EXPECT_FALSE(wav_head(48000, 0, 1));
  EXPECT_FALSE(wav_head(48000, 1, 1u << 31u));
}

TEST(Certify, TheMachinesOwnErrorCancels) {
  // The machine is 2 % fast, the own tape was recorded 0.5 % low.
  const CertifyReadings readings{reading_at(100.0 * (1.02 * 0.995 - 1.0)), reading_at(2.0), reading_at(2.0)};
  const auto certificate = certify(readings, 3000.0, 0.05);
  ASSERT_TRUE(certificate);
  EXPECT_NEAR(certificate->true_hz, 2985.0, 1e-6);
  EXPECT_NEAR(certificate->u95_percent, std::sqrt(0.02 * 0.02 * 1.5 + 0.05 * 0.05), 1e-9);
}

TEST(Certify, CountsHowFarTheMachineMayHaveMoved) {
  EXPECT_GT(certify({reading_at(0.0), reading_at(0.0), std::nullopt}, 3000.0, 0.05)->u95_percent,
            kMachineMoves_percent);
  EXPECT_GT(certify({reading_at(0.0), reading_at(0.0), reading_at(0.2)}, 3000.0, 0.05)->u95_percent, 0.1);
  EXPECT_EQ(certify({reading_at(0.0), reading_at(0.0), reading_at(0.4)}, 3000.0, 0.05).fault(),
            CertifyFault::machine_moved);
}

TEST(Certify, RefusesWhatProvesNothing) {
  EXPECT_EQ(certify({Reading{}, reading_at(0.0), std::nullopt}, 3000.0, 0.05).fault(), CertifyFault::not_measured);
  EXPECT_EQ(certify({reading_at(0.0), Reading{}, std::nullopt}, 3000.0, 0.05).fault(), CertifyFault::not_measured);
  EXPECT_EQ(certify({reading_at(12.0), reading_at(0.0), std::nullopt}, 3000.0, 0.05).fault(), CertifyFault::too_far);
  EXPECT_FALSE(message_of(CertifyFault::machine_moved).empty());
}

}  // namespace
}  // namespace four76
