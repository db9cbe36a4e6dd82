// Listening to a tape allocates nothing, and holds no more however long it lasts.
#include <gtest/gtest.h>

#include <limits>
#include <vector>

#include "core/tapes/pitch/concert_pitch.hpp"
#include "core/tapes/pitch/wow_spectrum.hpp"
#include "core/tapes/tape_session.hpp"
#include "tests/endurance/counted_memory.hpp"
#include "tests/unit/core/tape_music.hpp"

namespace four76 {
namespace {

// Music, a whistle, a hum, a NaN and a pause.
TEST(TapeAllocations, AreNoneWhileASessionProcesses) {
  auto x = test::played_chords({.seconds = 20.0, .rate_hz = 48000.0, .seed = 1}, 1.0);
  test::add(x, test::tone(15625.0 * 1.01, 20.0, 48000.0, 0.01));
  test::add(x, test::hum(50.0 * 1.01, 20.0, 48000.0, 0.01));
  x[90000] = std::numeric_limits<float>::quiet_NaN();
  x.resize(x.size() + 96000);
  const auto both = test::stereo(x, x);
  TapeSession session({.sample_rate_hz = 48000.0, .channels = 2});
  const long before = test::allocations();
  test::feed(session, both, 2000);
  EXPECT_EQ(test::allocations() - before, 0);
  EXPECT_FALSE(session.findings().evidence.empty());
}

TEST(TapeAllocations, AskingGivesBackAllThatItTakes) {
  TapeSession session({.sample_rate_hz = kSongRate_hz});
  session.process(test::played_chords({.seconds = 14.0, .seed = 2}));
  static_cast<void>(session.findings());
  const std::size_t before = test::held_bytes();
  for (int i = 0; i < 20; ++i) static_cast<void>(session.findings());
  EXPECT_EQ(test::held_bytes(), before);
}

// 100,000 frames are 71 minutes.
TEST(TapeAllocations, AreNoneInAnHourOfPartials) {
  ConcertPitch pitch;
  WowSpectrum wow;
  std::vector<Partial> frame;
  for (int i = 0; i < 12; ++i) frame.push_back({.cents = 300.0 * i - 1200.0, .level = 1.0F, .age = 9});
  const long before = test::allocations();
  for (int i = 0; i < 100000; ++i) {
    pitch.add(frame);
    wow.add(frame, 0.0);
  }
  EXPECT_FALSE(wow.wow());
  EXPECT_EQ(test::allocations() - before, 0);
  ASSERT_TRUE(pitch.tuning());
  EXPECT_NEAR(pitch.tuning()->cents, 0.0, 0.01);
}

}  // namespace
}  // namespace four76
