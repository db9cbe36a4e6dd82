// SongDial: its number's u95 while a room pulls a note, and while the screw is turned. The trails are made by hand.
#include "core/song/song_dial.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <optional>

namespace four76 {
namespace {

constexpr double kTurn_s = 0.05;

struct Turn {
  double time_s;
  std::optional<SongFollower::Slope> slope;
};

// A trail that moves as fast as `speed_at` says, for so long; each of the dial's turns.
void play(double seconds, const std::function<double(double)>& speed_at, const std::function<void(const Turn&)>& see) {
  SongLock::Path path{.speed = speed_at(0.0), .count = 1};
  path.points[0] = {.tape_s = 0.0, .place_s = 0.0, .z = 8.0};
  SongFollower trail(path);
  SongStillness still;
  SongDial dial(1.0);
  for (double time_s = kTurn_s; time_s < seconds; time_s += kTurn_s) {
    trail.reckon({.tape_s = time_s, .speed = speed_at(time_s), .sigma = 1e-4});
    see({time_s, dial.turn(trail, still, std::nullopt, time_s)});
  }
}

TEST(SongDial, KeepsItsU95OverANoteThatTheRoomPulls) {
  const auto pulled = [](double time_s) { return time_s > 15.0 && time_s < 15.9 ? 1.0015 : 1.0; };
  double most_off = 0.0;
  play(20.0, pulled, [&](const Turn& turn) {
    if (turn.time_s < 3.0) return;
    ASSERT_TRUE(turn.slope);
    const double off = std::abs(turn.slope->speed - 1.0);
    EXPECT_LE(0.97 * off, turn.slope->u95 + 1e-9) << turn.time_s;  // the course goes with the note a little
    most_off = std::max(most_off, off);
  });
  EXPECT_GT(most_off, 0.0008) << "the number goes with the note: it may be the screw";
}

TEST(SongDial, BelievesTheScrewAtOnceWhereItIsTurnedFar) {
  play(
      20.0, [](double time_s) { return time_s > 10.0 ? 1.0035 : 1.0; },
      [](const Turn& turn) {
        if (turn.time_s < 11.5) return;
        EXPECT_NEAR(turn.slope->speed, 1.0035, 0.0005) << turn.time_s;
        if (turn.time_s > 17.0) {
          EXPECT_LT(turn.slope->u95, 0.0005) << turn.time_s;
        }
      });
}

TEST(SongDial, BelievesASmallTurnWhenItStays) {
  play(
      30.0, [](double time_s) { return time_s > 10.0 ? 1.001 : 1.0; },
      [](const Turn& turn) {
        if (turn.time_s < 12.0) return;
        EXPECT_NEAR(turn.slope->speed, 1.001, 0.0001) << turn.time_s;
        EXPECT_LE(std::abs(turn.slope->speed - 1.001), turn.slope->u95);
        if (turn.time_s > 20.0) {
          EXPECT_LT(turn.slope->u95, 0.0007) << turn.time_s;
        }
      });
}

}  // namespace
}  // namespace four76
