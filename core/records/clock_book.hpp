// ClockBook: the sample clocks that were checked, one for each input and sample rate, as text to be kept on the device.
//
//   four76-clocks 1
//   48000 34.2 6.1 2026-11-25 Microphone%20of%20the%20phone
//
// A line each: sample rate in Hz, how fast in ppm, its 95 % half-width in ppm, the day of the check, and the input's
// name, written as in a link, or - where it is not known. Text is taken whole or not at all: what is damaged in one
// place is not to be trusted in another.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/records/clock_correction.hpp"
#include "core/records/kept_lines.hpp"

namespace four76 {

inline constexpr std::size_t kMostClocks = 24;  // beyond these the oldest is dropped
inline constexpr std::size_t kLongestInputName = kLongestKeptName;
inline constexpr std::size_t kLongestClockText = 20000;  // characters: kMostClocks lines, every byte of a name as %XX

struct CheckedClock {
  double sample_rate_hz = 48000.0;  // as stated by the device
  std::string input;                // its name; empty where it is not known
  ClockCorrection correction;
  std::string date;  // "2026-11-25"

  bool operator==(const CheckedClock&) const = default;
};

// The newest last. No two of the same input and rate.
using ClockBook = std::vector<CheckedClock>;

// Nothing where the text is damaged; no text is an empty book.
[[nodiscard]] std::optional<ClockBook> read_clocks(std::string_view text);
[[nodiscard]] std::string write_clocks(const ClockBook& book);

// Replaces an older check of the same input and rate. Returns false and changes nothing where the line could not be
// read back: no valid date, a number out of range.
bool keep_clock(ClockBook& book, CheckedClock clock);
[[nodiscard]] const CheckedClock* find_clock(const ClockBook& book, double sample_rate_hz,
                                             std::string_view input) noexcept;

}  // namespace four76
