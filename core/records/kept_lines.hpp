// Kept lines: what the books kept on the device share: their lines' fields, signed numbers, dates and names.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace four76 {

inline constexpr std::size_t kLongestKeptName = 200;  // bytes; a longer one is cut for good on the way in

// "2026-11-25", with a month from 01 to 12 and a day from 01 to 31.
[[nodiscard]] bool is_date(std::string_view text) noexcept;
// As parse_decimal and write_decimal, with a minus where it is negative.
[[nodiscard]] std::optional<double> parse_signed(std::string_view text) noexcept;
[[nodiscard]] std::string write_signed(double value);
// Likewise, with any number of decimals; those beyond a double's precision are skipped. The standard library's parser
// reads every form of C's numbers and would add 5 KB to the page.
[[nodiscard]] std::optional<double> parse_number(std::string_view text) noexcept;
// Percent text; no name is "-", and a name of this one character is written as %2D.
[[nodiscard]] std::string write_name(const std::string& name);
[[nodiscard]] std::optional<std::string> read_name(std::string_view text);
// A name's first kLongestKeptName bytes, without half a character at the end.
[[nodiscard]] std::string shortened(std::string name);
// Up to the next `end`, which is taken away with it; nothing where there is none.
std::optional<std::string_view> take_until(std::string_view& rest, char end) noexcept;

}  // namespace four76
