// FigureText: numbers as people read them: significant digits, without trailing zeros.
#pragma once

#include <string>

namespace four76 {

// "0.62", "7.6", "123": at least that many significant digits, the whole part never rounded. "0" where not finite.
[[nodiscard]] std::string rounded(double value, int digits);
// Decimals at which a half-width has two significant digits, 0 to `most`, it being rounded up; `most` where it is not
// above 0.
[[nodiscard]] int two_digit_decimals(double u95, int most) noexcept;
// With a true minus, U+2212; nothing that is shown as zero has a direction.
[[nodiscard]] std::string fixed_text(double value, int decimals);         // "1.82", "−0.05"
[[nodiscard]] std::string signed_fixed_text(double value, int decimals);  // "+1.82", "−0.05", "0.00"
[[nodiscard]] std::string plus_minus_text(double u95, int decimals);      // rounded up, never understated: "±0.04"
// "40 seconds", "2.5 minutes", "1 minute".
[[nodiscard]] std::string duration_text(double seconds);

}  // namespace four76
