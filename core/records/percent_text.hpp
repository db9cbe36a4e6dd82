// Percent text: a line of UTF-8 with every byte that is not a letter, a digit or one of - . _ ~ written as %XX, as
// addresses carry it (RFC 3986, 2.1 and 2.3). For links and what is kept on the device.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace four76 {

// One line of well-formed UTF-8 (RFC 3629: no overlong forms, no surrogates, nothing above U+10FFFF) without control
// characters (C0, DEL, C1).
[[nodiscard]] bool is_one_line_of_utf8(std::string_view text) noexcept;

[[nodiscard]] std::string encode_percent_text(std::string_view text);
// Nothing where a %XX is broken, a character has no place there, or what comes out is not one line of UTF-8.
[[nodiscard]] std::optional<std::string> decode_percent_text(std::string_view encoded);

// A plain decimal number: digits, and perhaps a point with digits behind it; at most 16 characters.
[[nodiscard]] std::optional<double> parse_decimal(std::string_view text) noexcept;
// With at most six decimals, without trailing zeros. Not negative, below 1e12.
[[nodiscard]] std::string write_decimal(double value);

}  // namespace four76
