#include "core/records/figure_text.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <string_view>

#include "core/phrase.hpp"

namespace four76 {
namespace {

constexpr std::string_view kMinus = "\u2212", kPlusMinus = "\u00b1";

// The magnitude's digits, and whether it is anything but zeros.
std::string digits(double value, int decimals) {
  std::array<char, 400> text{};
  std::snprintf(text.data(), text.size(), "%.*f", decimals, std::fabs(value));
  return with_decimal_mark(text.data());
}
bool is_zero(const std::string& digits) { return digits.find_first_not_of("0.,") == std::string::npos; }

}  // namespace

std::string rounded(double value, int digits) {
  if (!std::isfinite(value) || value == 0.0) return "0";
  const int before_point = static_cast<int>(std::floor(std::log10(std::abs(value)))) + 1;
  const int decimals = std::clamp(digits - before_point, 0, 6);
  std::array<char, 400> text{};
  std::snprintf(text.data(), text.size(), "%.*f", decimals, value);
  return with_decimal_mark(text.data());
}

int two_digit_decimals(double u95, int most) noexcept {
  if (!(u95 > 0.0)) return most;
  const int decimals = std::clamp(1 - static_cast<int>(std::floor(std::log10(u95))), 0, most);
  const bool becomes_three = std::ceil(u95 * std::pow(10.0, decimals) - 1e-9) >= 100.0;  // 0.0996 becomes 0.10
  return becomes_three && decimals > 0 ? decimals - 1 : decimals;
}

std::string fixed_text(double value, int decimals) {
  const std::string text = digits(value, decimals);
  return value < 0.0 && !is_zero(text) ? std::string(kMinus) + text : text;
}

std::string signed_fixed_text(double value, int decimals) {
  std::string text = digits(value, decimals);
  if (is_zero(text)) return text;  // zero has no direction
  return std::string(value < 0.0 ? kMinus : "+") + text;
}

std::string plus_minus_text(double u95, int decimals) {
  double unit = 1.0;
  for (int i = 0; i < decimals; ++i) unit *= 10.0;
  return std::string(kPlusMinus) + digits(std::max(1.0, std::ceil(u95 * unit - 1e-9)) / unit, decimals);
}

std::string duration_text(double seconds) {
  if (seconds < 90.0) return say("{0} seconds", rounded(std::round(seconds), 1));
  std::string minutes = rounded(seconds / 60.0, 2);
  if (minutes.size() > 2 && minutes.ends_with(std::string{decimal_mark(), '0'})) minutes.resize(minutes.size() - 2);
  return say("{0} minutes", minutes);
}

}  // namespace four76
