// A flute alone, as bad as the promise goes: a note is as good at every period of its pitch.
#include <cstdint>
#include <vector>

#include "core/song/delay_track.hpp"
#include "core/song/song_fit.hpp"
#include "gtest/gtest.h"
#include "tests/scenes/song_pieces.hpp"
#include "tests/scenes/song_tape.hpp"

namespace four76 {
namespace {

using scenes::at_song_rate;

class FluteOnTape {
 public:
  explicit FluteOnTape(std::uint64_t score) {
    const auto piece = scenes::play_piece(scenes::Manner::flute, 45.0, score, {.seed = 3});
    tape_.error_percent = 2.0;
    tape_.wow = {{0.8, 0.35, 1.0}, {6.0, 0.15, 2.0}};
    tape_.from_s = 5.0;
    tape_.seconds = kSeconds;
    tape_.rate_hz = 22050.0;
    tape_.seed = score;
    reference = at_song_rate(piece, scenes::kPieceRate_hz);
    sound = at_song_rate(scenes::record(piece, tape_), tape_.rate_hz);
  }
  // The right place, and a speed that is off by so much about the tape's middle.
  [[nodiscard]] SongPlace place(double off) const {
    return {1.0 + tape_.error_percent / 100.0 + off, tape_.from_s - 0.5 * off * kSeconds, 0.6};
  }
  static constexpr double kSeconds = 30.0;
  std::vector<float> reference, sound;

 private:
  scenes::SongTape tape_;
};

// Sustained notes leave the search unsure of the speed by some tenths of a percent. A track that begins at a wrong one
// and slips by a period at each note ends with a speed of its own.
TEST(DelayTrack, FindsAFlutesSpeedFromAWrongOne) {
  const FluteOnTape flute(7);
  for (const double off : {-0.0027, 0.0027}) {
    DelayTrack track(flute.reference, flute.sound);
    const std::vector<SongPlace> places{flute.place(off)};
    const auto fit = fit_song(track.follow(places));
    ASSERT_TRUE(fit);
    EXPECT_NEAR(fit->speed_error_percent, 2.0, 0.02) << off;
    EXPECT_GT(fit->evidence, 5.6) << off;
  }
}

// The pitch has no periods: by it, less of the track slips, which more height along it shows.
TEST(DelayTrack, SlipsLessWhereItGoesByThePitch) {
  double height = 0.0;
  double by_pitch = 0.0;
  for (const std::uint64_t score : {1, 2, 3, 4, 5, 6}) {
    const FluteOnTape flute(score);
    DelayTrack track(flute.reference, flute.sound);
    const std::vector<SongPlace> places{flute.place(0.0005)};
    const auto level = fit_song(track.follow(places));
    const auto pitched = fit_song(track.follow_by_pitch(places, 1.0));
    ASSERT_TRUE(level && pitched);
    height += level->evidence;
    by_pitch += pitched->evidence;
  }
  EXPECT_GT(by_pitch, height);
}

TEST(DelayTrack, GoesByNoPitchThatItHasNotSeen) {
  const std::vector<float> sound(120000, 0.1F);
  DelayTrack track(sound, sound);
  EXPECT_TRUE(track.follow({}).points.empty());
  EXPECT_TRUE(track.follow_by_pitch({}, 1.0).points.empty());
  const std::vector<SongPlace> places{{}};
  EXPECT_TRUE(track.follow_by_pitch(places, 1.0).points.empty());
}

}  // namespace
}  // namespace four76
