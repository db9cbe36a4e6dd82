// TapeBook: what tapes of music said of a machine, as text to be kept on the device.
//
//   four76-tapes 1
//   1.0213 0.0042 2026-11-26 Kitchen%20recorder Summer%20album%2C%20side%20A
//
// A line each: speed error and its 95 % half-width in percent, the day, the machine's name and the tape's, written as
// in a link; - for a machine without a name. Text is taken whole or not at all, as with ClockBook. Nothing of the music
// is in it.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/bench/tape_vote.hpp"

namespace four76 {

inline constexpr std::size_t kMostTapes = 48;               // beyond these the oldest is dropped
inline constexpr std::size_t kLongestTapesText = 80000;     // characters: kMostTapes lines, every byte of a name as %XX
inline constexpr double kFarthestTape_percent = 30.0;       // no song is followed further off
inline constexpr double kMostUncertainTape_percent = 10.0;  // a worse one says nothing

struct KeptTape {
  std::string machine, tape;  // the machine's may be empty
  TapeVote vote;
  std::string date;  // "2026-11-26"
};

// The newest last. No two of the same machine and tape.
using TapeBook = std::vector<KeptTape>;

// Nothing where the text is damaged; no text is an empty book.
[[nodiscard]] std::optional<TapeBook> read_tapes(std::string_view text);
[[nodiscard]] std::string write_tapes(const TapeBook& book);

// Replaces an older result of the same machine and tape. Returns false and changes nothing where the line could not be
// read back: no name, no valid date, a number out of range.
bool keep_tape(TapeBook& book, KeptTape kept);
// Which ones are of that machine, in their order.
[[nodiscard]] std::vector<std::size_t> tapes_of(const TapeBook& book, std::string_view machine);

}  // namespace four76
