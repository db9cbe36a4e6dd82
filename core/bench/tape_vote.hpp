// TapeVote: what several tapes, played on one machine, say of it together.
//
// A tape of music carries an error of its own: its duplicator's, or that of the machine that recorded it. What all
// tapes have in common is the machine's. Median and median absolute deviation: half of the tapes less one may be wrong
// by any amount. A tape lies apart where
//
//   |x - median| > 3.5 hypot(s, u / 1.96),   s = max(1.4826 MAD, 0.1 %)
//
// (3.5: Iglewicz and Hoaglin 1993, from memory; 1.4826 makes the MAD a standard deviation, derived; u is the tape's own
// half-width.) Valid for any number of tapes; below three nothing can be told apart.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace four76 {

// Tapes that are all as they should be still scatter by so much about the true speed (from memory).
inline constexpr double kLeastTapeScatter_percent = 0.1;
// Where they scatter more than this, no common error stands out: duplicators keep within about 0.5 % (common practice).
inline constexpr double kMostTapeScatter_percent = 0.5;

struct TapeVote {
  double speed_error_percent = 0.0;
  double u95_percent = 0.0;  // of the measurement alone
};

enum class VoteVerdict : std::uint8_t {
  none,        // no tape yet
  one,         // its error and the machine's cannot be told apart
  two_agree,   // perhaps the machine, perhaps the same duplicator
  two_differ,  // nobody can tell which is off
  two_of_three,
  machine,    // three or more agree, and they are the majority
  scattered,  // they differ too much among themselves
};

struct TapeVotes {
  VoteVerdict verdict = VoteVerdict::none;
  std::optional<double> median_percent;  // of all
  std::optional<double> spread_percent;  // of all: 1.4826 MAD; nothing for one tape
  // The machine's error and its half-width, from the tapes that agree; nothing where the verdict does not say one.
  std::optional<double> machine_percent, machine_u95_percent;
  std::vector<std::size_t> agreeing, apart;  // which votes, in their order
};

[[nodiscard]] TapeVotes count_votes(std::span<const TapeVote> votes);

}  // namespace four76
