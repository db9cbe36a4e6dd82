#include "core/records/kept_lines.hpp"

#include <cmath>

#include "core/records/percent_text.hpp"

namespace four76 {
namespace {
constexpr std::string_view kNoName = "-";
}  // namespace

bool is_date(std::string_view text) noexcept {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return false;
  for (const std::size_t i : {0, 1, 2, 3, 5, 6, 8, 9})
    if (text[i] < '0' || text[i] > '9') return false;
  const auto month = text.substr(5, 2), day = text.substr(8, 2);
  return month >= "01" && month <= "12" && day >= "01" && day <= "31";
}

std::optional<double> parse_signed(std::string_view text) noexcept {
  const bool negative = text.substr(0, 1) == "-";
  const auto size = parse_decimal(text.substr(negative ? 1 : 0));
  if (!size) return std::nullopt;
  return negative ? -*size : *size;
}

std::optional<double> parse_number(std::string_view text) noexcept {
  constexpr std::size_t kEnough = 16;  // characters, more than a double tells apart
  const bool negative = text.substr(0, 1) == "-";
  if (negative) text.remove_prefix(1);
  const auto point = text.find('.');
  if (text.size() > kEnough && point < kEnough - 1 &&
      text.find_first_not_of("0123456789", kEnough) == std::string_view::npos)
    text = text.substr(0, kEnough);
  const auto size = parse_decimal(text);
  if (!size) return std::nullopt;
  return negative ? -*size : *size;
}

std::string write_signed(double value) {
  std::string text = value < 0.0 ? "-" : "";
  return text += write_decimal(std::fabs(value));
}

std::string write_name(const std::string& name) {
  if (name.empty()) return std::string(kNoName);
  return name == kNoName ? "%2D" : encode_percent_text(name);
}

std::optional<std::string> read_name(std::string_view text) {
  if (text.empty()) return std::nullopt;
  return text == kNoName ? std::optional(std::string()) : decode_percent_text(text);
}

std::string shortened(std::string name) {
  if (name.size() <= kLongestKeptName) return name;
  std::size_t size = kLongestKeptName;
  while (size > 0 && (static_cast<unsigned char>(name[size]) & 0xC0u) == 0x80u) --size;
  name.resize(size);
  return name;
}

std::optional<std::string_view> take_until(std::string_view& rest, char end) noexcept {
  const auto at = rest.find(end);
  if (at == std::string_view::npos) return std::nullopt;
  const auto part = rest.substr(0, at);
  rest.remove_prefix(at + 1);
  return part;
}

}  // namespace four76
