// Link: settings carried in the part of the page's address behind '#', so that a friend opens the page set up alike.
//
//   v1.tone=3003.2&tol=0.5&tapetol=0.02&note=Side%20A
//
// "v1." and then key=value pairs in any order, parted by '&', each key at most once. Numbers are plain decimals with a
// point; text is UTF-8, with every byte that is not a letter, a digit or one of - . _ ~ written as %XX. No server ever
// sees it: a browser keeps that part of the address to itself.
//
// A link is taken whole or not at all: whatever is wrong in any part of it, it is refused and nothing is changed. A
// page that is older than a key refuses the link and says that it does not know the key.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "core/result.hpp"

namespace four76 {

inline constexpr std::size_t kLongestLink = 400;  // characters: what chat programs and printed codes carry unharmed
inline constexpr double kSmallestTolerance_percent = 0.05;
inline constexpr double kLargestTolerance_percent = 10.0;

// A tape's certificate states some hundredths of a percent, a label some tenths (common practice).
inline constexpr double kSmallestTapeTolerance_percent = 0.0001;
inline constexpr double kLargestTapeTolerance_percent = 5.0;

// What a link sets; a key that it does not carry leaves its setting as it is.
struct LinkSettings {
  std::optional<double> tone_hz;                      // tone=     100 to 10000, to the microhertz
  std::optional<double> tolerance_percent;            // tol=      0.05 to 10
  std::optional<std::string> note;                    // note=     one line of text, not empty
  std::optional<double> tape_tolerance_percent = {};  // tapetol=  0.0001 to 5, of the tone that is stated

  bool operator==(const LinkSettings&) const = default;
};

enum class LinkFault : std::uint8_t {
  too_long,         // over kLongestLink characters
  not_settings,     // does not begin with a version
  unknown_version,  // a version that this page does not know
  broken_pair,      // a part that is not key=value, or has nothing behind the =
  unknown_key,      //
  repeated_key,     //
  bad_number,       // not a plain decimal number
  out_of_range,     // a number that its setting cannot take
  bad_encoding,     // a character that has no place there, a broken %XX, text that is not UTF-8 or not one line
  bad_checksum,     // later versions: what arrived is not what was sent
};
// What is wrong and what to do, in a sentence or two.
std::string_view message_of(LinkFault fault) noexcept;

// With or without the '#' in front. An empty fragment holds no settings, and nothing is wrong with it.
Result<LinkSettings, LinkFault> parse_link(std::string_view fragment);

// The fragment without its '#'; parse_link gives the same settings back. Nothing where the settings cannot be put into
// a link: a number out of range, a note that is not one line of UTF-8, or more than a link can carry.
std::optional<std::string> write_link(const LinkSettings& settings);

}  // namespace four76
