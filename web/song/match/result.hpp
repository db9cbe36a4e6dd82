// SongResult: what the Worker found of a tape against its song, as plain data that views draw and a Worker can send.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/reading.hpp"
#include "core/song/song_match.hpp"

namespace four76 {

struct SongResult {
  SongMatch match;
  double tape_s = 0.0;  // of the file
  double used_s = 0.0;  // of it
};

// Whether its speed may be shown, be it as one not to be trusted: followed for long, in what is the same recording.
[[nodiscard]] bool has_speed(const SongMatch& match) noexcept;
// As the reading that the figure shows.
[[nodiscard]] Reading reading_of(const SongResult& result) noexcept;

// Flat bytes for postMessage. decode_song refuses anything that encode did not make.
std::vector<std::uint8_t> encode(const SongResult& result);
std::optional<SongResult> decode_song(std::span<const std::uint8_t> bytes);

}  // namespace four76
