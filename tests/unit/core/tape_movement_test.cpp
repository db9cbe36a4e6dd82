// TapeMovement: a jump of the tape along its reference, in noise that sounds in all bins.
#include "core/song/tape_movement.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <cstddef>
#include <random>
#include <span>
#include <vector>

namespace four76 {
namespace {

constexpr std::size_t kJumpAt = 6000;  // half a second

std::vector<float> noise(std::size_t size, unsigned seed) {
  std::mt19937 random(seed);
  std::normal_distribution<float> gaussian(0.0F, 0.1F);
  std::vector<float> samples(size);
  float low = 0.0F;
  for (float& sample : samples) sample = low = 0.7F * low + gaussian(random);
  return samples;
}

struct Moved {
  double near_s = 0.0, far_s = 0.0;  // about the jump
  double far_elsewhere_s = 0.0;      // a second from it
};

// Some samples are left out of the tape.
Moved moved_by(std::size_t lost) {
  const auto reference = noise(12000 + lost, 4);
  auto tape = reference;
  tape.erase(tape.begin() + kJumpAt, tape.begin() + kJumpAt + static_cast<std::ptrdiff_t>(lost));
  TapeMovement movement;
  Moved moved;
  const auto near_the_jump = [](std::size_t at) {
    return at + 2 * TapeMovement::kFrame > kJumpAt && at < kJumpAt + 256;
  };
  for (std::size_t at = 0; at + TapeMovement::kFrame <= tape.size(); at += TapeMovement::kHop) {
    const auto frame = movement.next(std::span(tape).subspan(at), std::span(reference).subspan(at));
    const auto step_s = [](const TapeMovement::Sums& sums) {
      return sums.bottom > 0.0F ? static_cast<double>(sums.top / sums.bottom) / TapeMovement::kFrames_hz : 0.0;
    };
    if (near_the_jump(at)) {
      moved.near_s += step_s(frame.near);
      moved.far_s += step_s(frame.far);
    } else if (at < kJumpAt) {
      moved.far_elsewhere_s += std::abs(step_s(frame.far));
    }
  }
  return moved;
}

TEST(TapeMovement, SeesAJumpThatTurnsTheUpperBinsByMoreThanAPeriod) {
  for (const std::size_t lost : {2U, 5U, 8U}) {
    const double lost_s = static_cast<double>(lost) / kSongRate_hz;
    const Moved moved = moved_by(lost);
    EXPECT_NEAR(moved.far_s, lost_s, 0.2 * lost_s) << lost;
    EXPECT_LT(moved.far_elsewhere_s, 1e-6);
  }
  // What the other answer is for, and what it cannot see.
  EXPECT_NEAR(moved_by(1).near_s, 1.0 / kSongRate_hz, 0.3 / kSongRate_hz);
  EXPECT_LT(moved_by(8).near_s, 4.0 / kSongRate_hz);
}

TEST(TapeMovement, OfNothingIsNothing) {
  const std::vector<float> silence(TapeMovement::kFrame, 0.0F);
  TapeMovement movement;
  for (int i = 0; i < 8; ++i) {
    const auto frame = movement.next(silence, silence);
    EXPECT_EQ(frame.near.top, 0.0F);
    EXPECT_EQ(frame.far.top, 0.0F);
    EXPECT_EQ(frame.far.bottom, 0.0F);
  }
}

}  // namespace
}  // namespace four76
