// A tape of a song, played by a worn machine in a room, captured at any rate; its truth is known.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "tests/scenes/tape.hpp"

namespace four76::scenes {

// What a microphone lets through, with slopes of 24 dB an octave.
struct Band {
  double low_hz = 300.0, high_hz = 3400.0;  // the telephone's (ITU-T G.120, from memory)
};

struct SongTape {
  double error_percent = 0.0;
  std::vector<Sinusoid> wow;
  double from_s = 20.0;   // of the song
  double seconds = 40.0;  // of tape
  double rate_hz = 48000.0;
  double low_hz = 150.0, high_hz = 6000.0;
  double signal_to_noise_db = 10.0;
  double reverberation_s = 0.6;
  double level = 1.0;
  double level_swing_db = 0.0;
  bool inverted = false;
  std::vector<std::pair<double, double>> dropouts;  // from, to, in seconds of tape
  std::vector<std::pair<double, double>> cuts;      // here, of the tape, so many seconds of the song are left out
  std::vector<float> talk;                          // in the same room, at kPieceRate_hz, from the tape's start on
  double talk_db = 0.0;                             // its RMS over the music's, both in front of the room
  std::optional<Band> microphone;                   // that hears it all; nothing: as the tape is
  std::uint64_t seed = 1;
};

// `piece` at kPieceRate_hz.
std::vector<float> record(std::span<const float> piece, const SongTape& tape);

// What was recorded, or the piece itself, at the rate that songs are compared at.
std::vector<float> at_song_rate(std::span<const float> samples, double rate_hz);

}  // namespace four76::scenes
