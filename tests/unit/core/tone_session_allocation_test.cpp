// process() allocates nothing and memory stays constant: every operator new of this program is counted.
#include <gtest/gtest.h>

#include <limits>
#include <vector>

#include "core/demo/tape_simulator.hpp"
#include "core/song/song_session.hpp"
#include "tests/endurance/counted_memory.hpp"
#include "tests/scenes/song_pieces.hpp"
#include "tests/scenes/song_tape.hpp"
#include "tests/unit/core/session_runs.hpp"
#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

TEST(Allocations, AreCounted) {
  const long before = test::allocations();
  void* const some = ::operator new(100);  // a vector that nobody looks at is left out by a compiler
  EXPECT_EQ(test::allocations() - before, 1);
  ::operator delete(some);
}

// A tape with everything: search, wow, lost samples, a NaN, dropout, loss of the tone, noise, another tone.
std::vector<float> eventful() {
  auto x = test::sound_of(test::SineWow{.mean_hz = 3020.0, .peak = 0.002, .rate_hz = 1.3}, 4.0, 48000.0, 0.1);
  std::fill_n(x.begin() + 60000, 1024, 0.0F);
  x[90000] = std::numeric_limits<float>::quiet_NaN();
  x.erase(x.begin() + 120000, x.begin() + 120100);
  x.resize(x.size() + 48000);
  const auto other = test::tone(2800.0, 2.0, 48000.0, 1.5);
  x.insert(x.end(), other.begin(), other.end());
  test::add_noise(x, 1e-3, 81);
  return x;
}

TEST(Allocations, AreNoneWhileASessionProcesses) {
  const auto one = eventful();
  const auto x = test::stereo(one, one);
  auto config = test::listening(48000.0, 3000.0, 2);
  config.discard_s = 0.1;
  ToneSession session(config);
  const long before = test::allocations();
  for (std::size_t at = 0; at < x.size(); at += 2 * 1000)
    session.process(std::span(x).subspan(at, std::min<std::size_t>(2000, x.size() - at)));
  EXPECT_EQ(test::allocations() - before, 0);
  EXPECT_GT(session.dial_count(), 100u);
}

TEST(Allocations, AreNoneWhileASessionIsRead) {
  const auto one = eventful();
  ToneSession session(test::listening(48000.0, 3000.0, 2));
  session.process(test::stereo(one, one));
  std::vector<TrailPoint> trail(800);
  const long before = test::allocations();
  for (int channel = 0; channel < 2; ++channel) {
    static_cast<void>(session.whole(channel));
    static_cast<void>(session.dial(channel));
    static_cast<void>(session.calm(channel));
    static_cast<void>(session.spectrum(channel));
    static_cast<void>(session.zoom(channel));
    static_cast<void>(session.trail(channel, trail));
  }
  static_cast<void>(session.channels_agree());
  session.reset();
  EXPECT_EQ(test::allocations() - before, 0);
}

// Searched, tried, followed, stopped and found again.
TEST(Allocations, AreNoneWhileASongIsFollowed) {
  const auto piece = scenes::play_piece(scenes::Manner::band, 40.0, 41, {.seed = 3});
  SongSession session({.sample_rate_hz = scenes::kPieceRate_hz}, scenes::at_song_rate(piece, scenes::kPieceRate_hz));
  const auto from = [&](double seconds) {
    return std::span<const float>(piece).subspan(static_cast<std::size_t>(seconds * scenes::kPieceRate_hz),
                                                 static_cast<std::size_t>(9.0 * scenes::kPieceRate_hz));
  };
  const std::vector<float> pause(static_cast<std::size_t>(2.0 * scenes::kPieceRate_hz));
  const long before = test::allocations();
  session.process(from(12.0));
  const bool was_following = session.state() == SongState::following;
  session.process(pause);
  session.process(from(3.0));
  EXPECT_EQ(test::allocations() - before, 0);
  EXPECT_TRUE(was_following);
  EXPECT_EQ(session.state(), SongState::following);
}

TEST(Allocations, AreNoneWhileTheDemoPlays) {
  TapeSimulator tape({.sample_rate_hz = 48000.0, .channels = 2});
  std::vector<float> x(9600);
  const long before = test::allocations();
  for (int i = 0; i < 20; ++i) tape.render(x);
  tape.set_trim_percent(0.5);
  tape.render(x);
  EXPECT_EQ(test::allocations() - before, 0);
}

// Half an hour of tape, and the reading still right: the record has merged its knots six times by then.
TEST(Allocations, AreNoneInHalfAnHourAndTheReadingHolds) {
  const auto second = test::tone(1005.0, 1.0, 8000.0);  // whole cycles: it loops
  ToneSession session(test::listening(8000.0, 1000.0));
  const long before = test::allocations();
  for (int i = 0; i < 1800; ++i) session.process(second);
  EXPECT_EQ(test::allocations() - before, 0);
  const auto reading = session.whole(0);
  ASSERT_EQ(reading.status, Status::measured);
  EXPECT_NEAR(*reading.speed_error_percent, 0.5, 1e-6);
  EXPECT_GT(reading.trusted_s, 1790.0);
}

}  // namespace
}  // namespace four76
