// What a browser hands over twice is taken out, to the sample; sounds that are periodic by themselves are not.
#include "core/signal/repeated_blocks.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <vector>

namespace four76 {
namespace {

using Samples = std::vector<float>;
constexpr std::size_t kBlock = RepeatedBlocks::kBlock;

Samples noise(std::size_t blocks, unsigned seed) {
  std::mt19937 random(seed);
  std::normal_distribution<float> gaussian(0.0F, 0.1F);
  Samples samples(blocks * kBlock);
  for (float& sample : samples) sample = gaussian(random);
  return samples;
}

// Each block as often as it says, once where nothing is said.
Samples with_repeats(const Samples& sound, const std::vector<std::pair<std::size_t, int>>& repeats) {
  Samples out;
  for (std::size_t block = 0; block * kBlock < sound.size(); ++block) {
    int times = 1;
    for (const auto& [at, more] : repeats)
      if (at == block) times += more;
    for (int i = 0; i < times; ++i)
      out.insert(out.end(), sound.begin() + static_cast<std::ptrdiff_t>(block * kBlock),
                 sound.begin() + static_cast<std::ptrdiff_t>((block + 1) * kBlock));
  }
  return out;
}

// As the page hands it over: 2048 frames at a time.
Samples processed(RepeatedBlocks& repeats, const Samples& interleaved, int channels) {
  Samples out;
  const std::size_t size = 2048 * static_cast<std::size_t>(channels);
  for (std::size_t at = 0; at < interleaved.size(); at += size) {
    const auto part =
        repeats.process(std::span(interleaved).subspan(at, std::min(size, interleaved.size() - at)), channels);
    out.insert(out.end(), part.begin(), part.end());
  }
  return out;
}

Samples interleave(const Samples& left, const Samples& right) {
  Samples out;
  for (std::size_t i = 0; i < std::min(left.size(), right.size()); ++i) {
    out.push_back(left[i]);
    out.push_back(right[i]);
  }
  return out;
}

TEST(RepeatedBlocks, AreTakenOutToTheSample) {
  const Samples sound = noise(400, 1);
  RepeatedBlocks repeats;
  EXPECT_EQ(processed(repeats, with_repeats(sound, {{3, 1}, {17, 4}, {18, 1}, {200, 2}}), 1), sound);
  EXPECT_EQ(repeats.count(), 8U);
}

TEST(RepeatedBlocks, LeaveSoundAlone) {
  const Samples sound = noise(100, 2);
  RepeatedBlocks repeats;
  EXPECT_EQ(processed(repeats, sound, 1), sound);
  EXPECT_EQ(processed(repeats, interleave(sound, sound), 2), interleave(sound, sound));
  EXPECT_EQ(repeats.count(), 0U);
}

TEST(RepeatedBlocks, OnOneChannelBringTheOtherBackBesideIt) {
  const Samples left = noise(400, 3), right = noise(400, 4);
  RepeatedBlocks repeats;
  const Samples heard =
      processed(repeats, interleave(with_repeats(left, {{5, 1}, {90, 1}}), with_repeats(right, {{40, 2}})), 2);
  const Samples truth = interleave(left, right);
  ASSERT_GE(heard.size(), truth.size() - 4 * kBlock * 2);  // the last of one channel may wait for the other
  EXPECT_TRUE(std::equal(heard.begin(), heard.end(), truth.begin()));
}

TEST(RepeatedBlocks, AreNotWhatAComputerMakesPeriodic) {
  Samples tone(kBlock * 1000);  // 3000 Hz at 48 kHz: eight periods in a block
  for (std::size_t n = 0; n < tone.size(); ++n)
    tone[n] = static_cast<float>(std::sin(2.0 * std::numbers::pi * static_cast<double>(n % 16) / 16.0));
  RepeatedBlocks repeats;
  EXPECT_EQ(processed(repeats, tone, 1).size(), tone.size() - 8 * kBlock);  // whole periods: its phase goes on
}

TEST(RepeatedBlocks, AreNotSilence) {
  const Samples silence(kBlock * 50);
  RepeatedBlocks repeats;
  EXPECT_EQ(processed(repeats, silence, 1).size(), silence.size());
}

TEST(RepeatedBlocks, OfAChannelThatStaysBehindDoNotFillTheMemory) {
  const Samples left = noise(2000, 5), right = noise(1000, 6);
  RepeatedBlocks repeats;
  std::vector<std::pair<std::size_t, int>> each;
  for (std::size_t block = 0; block < 1000; ++block) each.emplace_back(block, 1);
  const Samples heard = processed(repeats, interleave(left, with_repeats(right, each)), 2);
  // Each block of the right channel came twice: half of the left has no partner and is left out.
  EXPECT_GT(heard.size(), 2U * 900U * kBlock);
  EXPECT_LE(heard.size(), 2U * 1000U * kBlock);
}

TEST(RepeatedBlocks, BeginAnewWithOtherChannels) {
  const Samples sound = noise(20, 7);
  RepeatedBlocks repeats;
  processed(repeats, sound, 1);
  EXPECT_EQ(processed(repeats, interleave(sound, sound), 2).size(), 2 * sound.size());
  EXPECT_EQ(processed(repeats, Samples(sound.begin(), sound.begin() + 100), 1).size(), 100U);
}

}  // namespace
}  // namespace four76
