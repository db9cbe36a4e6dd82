#include "core/records/link.hpp"

#include <cmath>

#include "core/tone/nominal_tones.hpp"

namespace four76 {
namespace {

constexpr std::string_view kVersion = "v1.";
constexpr double kMillionths = 1e6;  // numbers are written with at most six decimals

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

// One line of well-formed UTF-8 (RFC 3629: no overlong forms, no surrogates, nothing above U+10FFFF) without control
// characters (C0, DEL, C1).
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

std::optional<std::string> decode_text(std::string_view encoded) {
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

std::string encode_text(std::string_view text) {
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

bool fits_tone(double hz) noexcept { return hz >= kLowestNominalHz && hz <= kHighestNominalHz; }
bool fits_tolerance(double percent) noexcept {
  return percent >= kSmallestTolerance_percent && percent <= kLargestTolerance_percent;
}

std::optional<LinkFault> take_number(std::optional<double>& setting, std::string_view text,
                                     bool (*fits)(double)) noexcept {
  if (setting) return LinkFault::repeated_key;
  const auto number = parse_decimal(text);
  if (!number) return LinkFault::bad_number;
  if (!fits(*number)) return LinkFault::out_of_range;
  setting = number;
  return std::nullopt;
}

std::optional<LinkFault> take_text(std::optional<std::string>& setting, std::string_view encoded) {
  if (setting) return LinkFault::repeated_key;
  setting = decode_text(encoded);
  return setting ? std::nullopt : std::optional(LinkFault::bad_encoding);
}

std::optional<LinkFault> take_pair(LinkSettings& settings, std::string_view pair) {
  const auto equals = pair.find('=');
  if (equals == 0 || equals == std::string_view::npos || equals + 1 == pair.size()) return LinkFault::broken_pair;
  const auto key = pair.substr(0, equals), value = pair.substr(equals + 1);
  if (key == "tone") return take_number(settings.tone_hz, value, fits_tone);
  if (key == "tol") return take_number(settings.tolerance_percent, value, fits_tolerance);
  if (key == "note") return take_text(settings.note, value);
  return LinkFault::unknown_key;
}

// Whether it begins as a link of some version does: v, digits, a point.
bool names_a_version(std::string_view fragment) noexcept {
  std::size_t i = 1;
  while (i < fragment.size() && is_digit(fragment[i])) ++i;
  return fragment.substr(0, 1) == "v" && i > 1 && fragment.substr(i, 1) == ".";
}

}  // namespace

std::string_view message_of(LinkFault fault) noexcept {
  switch (fault) {
    case LinkFault::too_long: return "The link is too long to be one of ours. Ask for it to be sent again.";
    case LinkFault::not_settings:
      return "The link carries no settings that this page knows. Ask for it to be sent again.";
    case LinkFault::unknown_version:
      return "The link was made by another version of this page. Reload the page, then try again.";
    case LinkFault::broken_pair: return "A part of the link is missing. Ask for it to be sent again.";
    case LinkFault::unknown_key:
      return "The link sets something that this page does not know. Reload the page, then try again.";
    case LinkFault::repeated_key: return "The link sets one thing twice. Ask for it to be sent again.";
    case LinkFault::bad_number: return "A number in the link is damaged. Ask for it to be sent again.";
    case LinkFault::out_of_range:
      return "The link sets a tone or tolerance that cannot be measured. Ask for another one.";
    case LinkFault::bad_encoding: return "The text in the link is damaged. Ask for it to be sent again.";
  }
  return "The link cannot be read.";
}

Result<LinkSettings, LinkFault> parse_link(std::string_view fragment) {
  if (fragment.substr(0, 1) == "#") fragment.remove_prefix(1);
  if (fragment.size() > kLongestLink) return LinkFault::too_long;
  LinkSettings settings;
  if (fragment.empty()) return settings;
  if (!names_a_version(fragment)) return LinkFault::not_settings;
  if (fragment.substr(0, kVersion.size()) != kVersion) return LinkFault::unknown_version;
  std::string_view rest = fragment.substr(kVersion.size());
  while (!rest.empty()) {
    const auto end = rest.find('&');
    if (const auto fault = take_pair(settings, rest.substr(0, end))) return *fault;
    if (end == std::string_view::npos) break;
    rest.remove_prefix(end + 1);
    if (rest.empty()) return LinkFault::broken_pair;
  }
  return settings;
}

std::optional<std::string> write_link(const LinkSettings& settings) {
  if (settings.tone_hz && !fits_tone(*settings.tone_hz)) return std::nullopt;
  if (settings.tolerance_percent && !fits_tolerance(*settings.tolerance_percent)) return std::nullopt;
  if (settings.note && (settings.note->empty() || !is_one_line_of_utf8(*settings.note))) return std::nullopt;
  std::string pairs;
  const auto add = [&pairs](std::string_view key, const std::string& value) {
    if (!pairs.empty()) pairs += '&';
    pairs.append(key).append(1, '=').append(value);
  };
  if (settings.tone_hz) add("tone", write_decimal(*settings.tone_hz));
  if (settings.tolerance_percent) add("tol", write_decimal(*settings.tolerance_percent));
  if (settings.note) add("note", encode_text(*settings.note));
  if (kVersion.size() + pairs.size() > kLongestLink) return std::nullopt;
  return std::string(kVersion) + pairs;
}

}  // namespace four76
