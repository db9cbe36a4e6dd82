// Scenes for lines on a tape: music of no composer on a machine that wows, with a whistle or a hum on the tape, and
// what the machine and the listener's room add. The movement is handed over as the partials' tracker will.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "core/tapes/machine_movement.hpp"

namespace four76::scenes {

// What is known of the movement: errors that stay within bounds, or ones that add up without end.
enum class MovementError : std::uint8_t { bounded, random_walk };

struct LineScene {
  std::uint64_t seed = 1;
  double sample_rate_hz = 48000.0;
  double length_s = 32.0;
  double speed_error = 0.0;   // of the machine: 0.02 is 2 % fast
  double wow_rms = 0.0015;    // of three sinusoids, 0.5 to 6 Hz
  double drift_rms = 0.0005;  // slower than that, at random
  double hiss_db = -45.0;     // all levels below the music's total
  bool music = true;
  bool speech = false;                 // noise in syllables in place of the music
  std::optional<double> tape_line_hz;  // as recorded
  double tape_line_db = -30.0;
  std::optional<double> room_line_hz;  // as heard
  double room_line_db = -30.0;
  std::optional<double> tape_hum_hz;  // of the recording's mains
  double tape_hum_db = -30.0;
  std::optional<double> machine_hum_hz;
  double machine_hum_db = -24.0;
  std::optional<double> bass_hz;  // every bass note is this one, as recorded
  MovementError movement_error = MovementError::bounded;
};

struct PlayedScene {
  std::vector<float> samples;
  std::vector<MovementPoint> movement;
  double mean_speed = 1.0;  // over all but the last 0.55 s, whose movement never comes
};

[[nodiscard]] PlayedScene play(const LineScene& scene);

}  // namespace four76::scenes
