// Tapes of songs as they are drawn for a bench: each follows from the random numbers that it is given.
#pragma once

#include <array>
#include <cstdint>
#include <random>
#include <string_view>

#include "tests/scenes/song_tape.hpp"

namespace four76::scenes {

// What a phone beside a machine that plays hears beyond the song.
enum class Rough : std::uint8_t { talk, cuts, phone, all };
inline constexpr int kRoughs = 4;
inline constexpr std::array<std::string_view, kRoughs> kRoughNames{"talk", "cuts", "phone", "all three"};

// 30 to 50 s anywhere in a piece, by any machine in any room, captured at any rate.
SongTape any_tape(std::mt19937_64& random, double piece_s);
// As bad as the promise goes: 30 s, 10 dB, 0.6 s of reverberation and 0.5 % of wow.
void to_the_limit(SongTape& tape);
// 30 to 60 s; what else the tape is stays as it was drawn.
void to_any_length(SongTape& tape, double piece_s);
// 30 to 60 s with talk over it, sentences or noise-like syllables, 10 dB below the music to as loud; with two cuts of
// 0.3 to 4 s; through a phone's microphone, from 200 to 400 on to 3000 to 5000 Hz; or with all three.
void to_rough(SongTape& tape, Rough rough, double piece_s);

}  // namespace four76::scenes
