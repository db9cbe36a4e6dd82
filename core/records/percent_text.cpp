#include "core/records/percent_text.hpp"

#include <cmath>
#include <cstddef>
#include <cstdint>

namespace four76 {
namespace {

constexpr double kMillionths = 1e6;

bool is_digit(char c) noexcept { return c >= '0' && c <= '9'; }
bool is_unreserved(char c) noexcept {
  return is_digit(c) || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '-' || c == '.' || c == '_' ||
         c == '~';
}
std::optional<unsigned> hex_value(char c) noexcept {
  if (is_digit(c)) return static_cast<unsigned>(c - '0');
  if (c >= 'a' && c <= 'f') return static_cast<unsigned>(c - 'a') + 10u;
  if (c >= 'A' && c <= 'F') return static_cast<unsigned>(c - 'A') + 10u;
  return std::nullopt;
}

}  // namespace

// Digits, and perhaps a point with digits behind it. Fifteen digits stay whole in a double, and so does the power of
// ten, so that the one division rounds correctly, in every locale.
std::optional<double> parse_decimal(std::string_view text) noexcept {
  double digits = 0.0, scale = 1.0;
  bool point = false, digit_last = false;
  if (text.size() > 16) return std::nullopt;
  for (const char c : text) {
    if (c == '.' && !point && digit_last) {
      point = true;
      digit_last = false;
    } else if (is_digit(c)) {
      digits = 10.0 * digits + (c - '0');
      if (point) scale *= 10.0;
      digit_last = true;
    } else {
      return std::nullopt;
    }
  }
  if (!digit_last) return std::nullopt;
  return digits / scale;
}

std::string write_decimal(double value) {
  const auto millionths = static_cast<std::uint64_t>(std::llround(value * kMillionths));
  std::string text = std::to_string(millionths / 1000000u);
  std::string decimals = std::to_string(1000000u + millionths % 1000000u).substr(1);
  decimals.erase(decimals.find_last_not_of('0') + 1);
  if (!decimals.empty()) text += '.' + decimals;
  return text;
}

bool is_one_line_of_utf8(std::string_view text) noexcept {
  for (std::size_t i = 0; i < text.size();) {
    const auto lead = static_cast<unsigned char>(text[i]);
    const std::size_t length = lead < 0x80         ? 1
                               : lead >> 5 == 0x06 ? 2
                               : lead >> 4 == 0x0E ? 3
                               : lead >> 3 == 0x1E ? 4
                                                   : 0;
    if (length == 0 || text.size() - i < length) return false;
    std::uint32_t code = length == 1 ? lead : lead & (0x7Fu >> length);
    for (std::size_t k = 1; k < length; ++k) {
      const auto next = static_cast<unsigned char>(text[i + k]);
      if (next >> 6 != 0x02) return false;
      code = code << 6 | (next & 0x3Fu);
    }
    constexpr std::uint32_t kLeast[] = {0, 0, 0x80, 0x800, 0x10000};
    const bool surrogate = code >= 0xD800 && code <= 0xDFFF, control = code < 0x20 || (code >= 0x7F && code <= 0x9F);
    if (code < kLeast[length] || code > 0x10FFFF || surrogate || control) return false;
    i += length;
  }
  return true;
}

std::optional<std::string> decode_percent_text(std::string_view encoded) {
  std::string text;
  for (std::size_t i = 0; i < encoded.size(); ++i) {
    const char c = encoded[i];
    if (c != '%') {
      if (c <= ' ' || c >= '\x7f') return std::nullopt;  // browsers encode these, and so do we
      text += c;
      continue;
    }
    const auto high = i + 1 < encoded.size() ? hex_value(encoded[i + 1]) : std::nullopt;
    const auto low = i + 2 < encoded.size() ? hex_value(encoded[i + 2]) : std::nullopt;
    if (!high || !low) return std::nullopt;
    text += static_cast<char>(*high * 16 + *low);
    i += 2;
  }
  if (!is_one_line_of_utf8(text)) return std::nullopt;
  return text;
}

std::string encode_percent_text(std::string_view text) {
  constexpr std::string_view kHex = "0123456789ABCDEF";
  std::string encoded;
  for (const char c : text) {
    if (is_unreserved(c)) {
      encoded += c;
    } else {
      const auto byte = static_cast<unsigned char>(c);
      encoded += {'%', kHex[byte / 16], kHex[byte % 16]};
    }
  }
  return encoded;
}

}  // namespace four76
