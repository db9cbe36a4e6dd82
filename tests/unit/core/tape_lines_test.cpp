// LineScan and HumLines on scenes with a known truth (tests/scenes/line_scene.hpp). Counts over 200 seeds:
// tests/scenes/tape_line_scenes.cpp.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "core/signal/gaussian_noise.hpp"
#include "core/song/rate_changer.hpp"
#include "core/tapes/lines/hum_lines.hpp"
#include "core/tapes/lines/line_scan.hpp"
#include "core/tapes/lines/movement_match.hpp"
#include "tests/scenes/line_scene.hpp"

namespace four76 {
namespace {

using scenes::LineScene;
using scenes::PlayedScene;

// The movement comes half a second late, after whichever block that falls into.
template <class Block>
std::vector<Evidence> listen(Block& block, const PlayedScene& played, double frames_hz, std::size_t block_size = 512,
                             std::size_t channels = 1) {
  std::size_t next = 0;
  for (std::size_t at = 0; at < played.samples.size(); at += block_size * channels) {
    const std::size_t count = std::min(block_size * channels, played.samples.size() - at);
    block.process(std::span(played.samples).subspan(at, count));
    const double now_s = static_cast<double>((at + count) / channels) / frames_hz;
    while (next < played.movement.size() && played.movement[next].time_s + 0.5 <= now_s)
      block.moved(played.movement[next++]);
  }
  return block.found();
}

std::vector<Evidence> lines_of(const LineScene& scene) {
  LineScan block({scene.sample_rate_hz, 1});
  return listen(block, scenes::play(scene), scene.sample_rate_hz);
}

std::vector<Evidence> hum_of(const LineScene& scene) {
  HumLines block;
  return listen(block, scenes::play(scene), scene.sample_rate_hz);
}

LineScene line_scene(std::uint64_t seed, double speed_error) {
  LineScene scene;
  scene.seed = seed;
  scene.speed_error = speed_error;
  scene.length_s = 31.0;
  return scene;
}

LineScene hum_scene(std::uint64_t seed, double speed_error) {
  LineScene scene = line_scene(seed, speed_error);
  scene.sample_rate_hz = kSongRate_hz;
  return scene;
}

double on_tape(const std::vector<Evidence>& found) {
  double sum = 0.0;
  for (const auto& evidence : found) sum += evidence.on_tape_probability;
  return sum;
}

TEST(LineScan, MeasuresAWhistleOfTheRecordingToFiveThousandthsOfAPercent) {
  std::uint64_t seed = 40;
  for (const double error : {-0.05, 0.004, 0.06}) {
    LineScene scene = line_scene(++seed, error);
    scene.tape_line_hz = kLineScan625_hz;
    const auto played = scenes::play(scene);
    LineScan block({scene.sample_rate_hz, 1});
    const auto found = listen(block, played, scene.sample_rate_hz);
    ASSERT_EQ(found.size(), 2u) << error;
    EXPECT_EQ(found[0].nominal_hz, kLineScan625_hz);
    EXPECT_EQ(found[1].nominal_hz, kLineScan525_hz);
    EXPECT_GT(found[0].on_tape_probability, found[1].on_tape_probability);
    EXPECT_GT(on_tape(found), 0.95) << error;
    EXPECT_NEAR(100.0 * found[0].measured_hz / (kLineScan625_hz * played.mean_speed), 100.0, 0.006) << error;
    EXPECT_LT(found[0].measured_u95_percent, 0.02) << error;
  }
}

TEST(LineScan, CallsAScreenInTheRoomTheRooms) {
  for (const std::uint64_t seed : {51u, 52u}) {
    LineScene scene = line_scene(seed, 0.03);
    scene.room_line_hz = seed % 2 == 0 ? kLineScan625_hz : kLineScan525_hz * 1.00008;
    EXPECT_LT(on_tape(lines_of(scene)), 0.1) << seed;
  }
}

TEST(LineScan, FindsTheTapesLineBesideALouderScreen) {
  LineScene scene = line_scene(61, 0.021);
  scene.tape_line_hz = kLineScan625_hz;
  scene.room_line_hz = kLineScan625_hz;
  scene.room_line_db = -18.0;
  const auto found = lines_of(scene);
  ASSERT_FALSE(found.empty());
  EXPECT_NEAR(found[0].measured_hz, kLineScan625_hz * 1.021, 3.0);
  EXPECT_GT(on_tape(found), 0.9);
}

// Nothing tells the two apart: neither is claimed.
TEST(LineScan, ClaimsNothingOfASteadyToneWhereTheMachineDoesNotMove) {
  LineScene scene = line_scene(71, 0.0);
  scene.wow_rms = scene.drift_rms = 0.0;
  scene.room_line_hz = 15400.0;
  const auto found = lines_of(scene);
  ASSERT_FALSE(found.empty());
  EXPECT_LT(on_tape(found), 0.7);
  scene.room_line_hz = kLineScan625_hz;
  EXPECT_LT(on_tape(lines_of(scene)), 0.1);
}

TEST(LineScan, FindsNothingInMusicSpeechNoiseAndSilence) {
  LineScene scene = line_scene(81, 0.02);
  scene.length_s = 20.0;
  EXPECT_TRUE(lines_of(scene).empty());
  scene.music = false;
  EXPECT_TRUE(lines_of(scene).empty());
  scene.speech = true;
  EXPECT_TRUE(lines_of(scene).empty());
  LineScan silence({48000.0, 1});
  silence.process(std::vector<float>(48000 * 12));
  EXPECT_TRUE(silence.found().empty());
}

TEST(LineScan, SaysTheSameForAnyBlockSize) {
  LineScene scene = line_scene(91, -0.03);
  scene.length_s = 12.0;
  scene.music = false;
  scene.tape_line_hz = kLineScan625_hz;
  const auto played = scenes::play(scene);
  std::vector<double> measured;
  for (const std::size_t size : {1u, 128u, 4096u}) {
    LineScan block({48000.0, 1});
    const auto found = listen(block, played, 48000.0, size);
    ASSERT_EQ(found.size(), 2u) << size;
    measured.push_back(found[0].measured_hz);
  }
  EXPECT_DOUBLE_EQ(measured[0], measured[1]);
  // With coarser blocks the movement comes later, the last frames with it.
  EXPECT_NEAR(measured[0], measured[2], 0.3);
}

TEST(LineScan, TakesEveryRateAndNothingBelow36Kilohertz) {
  for (const double rate_hz : {36000.0, 44100.0, 96000.0, 192000.0}) {
    LineScene scene = line_scene(101, 0.05);
    scene.length_s = 11.0;
    scene.music = false;
    scene.sample_rate_hz = rate_hz;
    scene.tape_line_hz = kLineScan525_hz;
    const auto found = lines_of(scene);
    ASSERT_EQ(found.size(), 2u) << rate_hz;
    EXPECT_NEAR(found[1].measured_hz, kLineScan525_hz * 1.05, 6.0) << rate_hz;
  }
  LineScan low({8000.0, 2});
  low.process(std::vector<float>(16000, 0.1F));
  EXPECT_TRUE(low.found().empty());
}

// Two channels in opposite phase would cancel in a sum. What is no number is silence.
TEST(LineScan, HearsOpposedChannelsAndSurvivesWhatIsNoNumber) {
  LineScene scene = line_scene(111, 0.01);
  scene.length_s = 14.0;
  scene.music = false;
  scene.tape_line_hz = kLineScan625_hz;
  const auto mono = scenes::play(scene);
  PlayedScene stereo{{}, mono.movement, mono.mean_speed};
  for (const float sample : mono.samples) stereo.samples.insert(stereo.samples.end(), {sample, -sample});
  stereo.samples[5001] = std::numeric_limits<float>::quiet_NaN();
  stereo.samples[90000] = std::numeric_limits<float>::infinity();
  LineScan block({48000.0, 2});
  block.moved({std::numeric_limits<double>::quiet_NaN(), 0.0, 0.0});
  const auto found = listen(block, stereo, 48000.0, 512, 2);
  ASSERT_EQ(found.size(), 2u);
  EXPECT_NEAR(found[0].measured_hz, kLineScan625_hz * 1.01, 4.0);
}

TEST(HumLines, MeasuresTheRecordingsHum) {
  std::uint64_t seed = 200;
  int right = 0, all = 0;
  for (const double hz : {50.0, 60.0})
    for (const double error : {-0.05, -0.02, 0.015, 0.045}) {
      LineScene scene = hum_scene(++seed, error);
      scene.tape_hum_hz = hz;
      const auto played = scenes::play(scene);
      HumLines block;
      const auto found = listen(block, played, kSongRate_hz);
      ++all;
      if (found.empty()) continue;
      EXPECT_EQ(found[0].nominal_hz, hz) << error;
      EXPECT_NEAR(100.0 * found[0].measured_hz / (hz * played.mean_speed), 100.0, 0.15) << error;
      EXPECT_GE(found[0].measured_u95_percent, 0.1);
      right += found[0].on_tape_probability > 0.5;
    }
  EXPECT_GE(right, all - 1);
}

TEST(HumLines, NeverTakesTheMachinesHumForTheTapes) {
  for (const std::uint64_t seed : {221u, 222u, 223u, 224u}) {
    LineScene scene = hum_scene(seed, 0.03);
    scene.machine_hum_hz = seed % 2 == 0 ? 50.04 : 59.96;
    scene.machine_hum_db = -15.0;
    EXPECT_LT(on_tape(hum_of(scene)), 0.1) << seed;
  }
}

TEST(HumLines, FindsTheTapesHumBesideTheMachines) {
  LineScene scene = hum_scene(231, -0.031);
  scene.tape_hum_hz = 50.0;
  scene.machine_hum_hz = 50.02;
  scene.machine_hum_db = -20.0;
  const auto found = hum_of(scene);
  ASSERT_EQ(found.size(), 1u);
  EXPECT_NEAR(found[0].measured_hz, 50.0 * 0.969, 0.07);
  EXPECT_GT(found[0].on_tape_probability, 0.5);
}

TEST(HumLines, FindsNothingInMusicSpeechNoiseAndSilence) {
  LineScene scene = hum_scene(241, 0.02);
  EXPECT_TRUE(hum_of(scene).empty());
  scene.bass_hz = 49.0;  // G, struck again and again
  EXPECT_LT(on_tape(hum_of(scene)), 0.5);
  scene.music = false;
  EXPECT_TRUE(hum_of(scene).empty());
  scene.speech = true;
  EXPECT_TRUE(hum_of(scene).empty());
  HumLines silence;
  std::vector<float> nothing(12000 * 40);
  nothing[777] = std::numeric_limits<float>::quiet_NaN();
  silence.process(nothing);
  EXPECT_TRUE(silence.found().empty());
}

TEST(HumLines, SaysTheSameForAnyBlockSize) {
  LineScene scene = hum_scene(251, 0.05);
  scene.music = false;
  scene.tape_hum_hz = 60.0;
  const auto played = scenes::play(scene);
  std::vector<double> measured;
  for (const std::size_t size : {1u, 128u, 4096u}) {
    HumLines block;
    const auto found = listen(block, played, kSongRate_hz, size);
    ASSERT_EQ(found.size(), 1u) << size;
    measured.push_back(found[0].measured_hz);
  }
  EXPECT_DOUBLE_EQ(measured[0], measured[1]);
  EXPECT_NEAR(measured[0], measured[2], 0.01);
}

TEST(MovementMatch, TellsALineThatMovesFromOneThatDoesNot) {
  GaussianNoise random(7);
  MovementMatch tape, room, still;
  for (int i = 0; i < 700; ++i) {
    const double moved = 0.0008 * random.next(), heard = moved + 0.0002 * random.next();
    tape.add(moved + 0.00002 * random.next(), heard, 4e-8);
    room.add(0.00002 * random.next(), heard, 4e-8);
    still.add(0.00002 * random.next(), 0.0002 * random.next(), 4e-8);
  }
  EXPECT_GT(tape.log_factor(), 20.0);
  EXPECT_LT(room.log_factor(), -20.0);
  EXPECT_NEAR(still.log_factor(), 0.0, 2.5);
  EXPECT_EQ(MovementMatch{}.log_factor(), 0.0);
  EXPECT_NEAR(probability_of(1.0, 0.0), 0.5, 1e-12);
}

}  // namespace
}  // namespace four76
