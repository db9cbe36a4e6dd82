#include "core/records/clock_book.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "core/records/error_budget.hpp"
#include "core/records/percent_text.hpp"

namespace four76 {
namespace {

constexpr std::string_view kHead = "four76-clocks 1\n";
constexpr std::string_view kNoName = "-";                            // a name of this one character is written as %2D
constexpr double kLowestRateHz = 8000.0, kHighestRateHz = 192000.0;  // of a session

bool is_date(std::string_view text) noexcept {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return false;
  for (const std::size_t i : {0, 1, 2, 3, 5, 6, 8, 9})
    if (text[i] < '0' || text[i] > '9') return false;
  const auto month = text.substr(5, 2), day = text.substr(8, 2);
  return month >= "01" && month <= "12" && day >= "01" && day <= "31";
}

bool fits(const CheckedClock& clock) noexcept {
  const ClockCorrection& c = clock.correction;
  return clock.sample_rate_hz >= kLowestRateHz && clock.sample_rate_hz <= kHighestRateHz &&
         std::fabs(c.fast_ppm) <= kFarthestClock_ppm && c.u95_ppm >= 0.0 && c.u95_ppm <= kUncheckedClock_ppm &&
         clock.input.size() <= kLongestInputName && is_one_line_of_utf8(clock.input) && is_date(clock.date);
}

std::optional<double> parse_signed(std::string_view text) noexcept {
  const bool negative = text.substr(0, 1) == "-";
  const auto size = parse_decimal(text.substr(negative ? 1 : 0));
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

// Up to the next `end`, which is taken away with it; nothing where there is none.
std::optional<std::string_view> take_until(std::string_view& rest, char end) noexcept {
  const auto at = rest.find(end);
  if (at == std::string_view::npos) return std::nullopt;
  const auto part = rest.substr(0, at);
  rest.remove_prefix(at + 1);
  return part;
}

std::optional<CheckedClock> read_line(std::string_view line) {
  std::array<std::string_view, 4> parts;
  for (std::string_view& part : parts) {
    const auto taken = take_until(line, ' ');
    if (!taken) return std::nullopt;
    part = *taken;
  }
  const auto rate_hz = parse_decimal(parts[0]), fast_ppm = parse_signed(parts[1]), u95_ppm = parse_decimal(parts[2]);
  auto name = line == kNoName ? std::optional(std::string()) : decode_percent_text(line);
  if (!rate_hz || !fast_ppm || !u95_ppm || !name || line.empty()) return std::nullopt;
  CheckedClock clock{*rate_hz, std::move(*name), {*fast_ppm, *u95_ppm}, std::string(parts[3])};
  if (!fits(clock)) return std::nullopt;
  return clock;
}

// A name's first bytes, without half a character at the end.
std::string shortened(std::string name) {
  if (name.size() <= kLongestInputName) return name;
  std::size_t size = kLongestInputName;
  while (size > 0 && (static_cast<unsigned char>(name[size]) & 0xC0u) == 0x80u) --size;
  name.resize(size);
  return name;
}

}  // namespace

std::optional<ClockBook> read_clocks(std::string_view text) {
  ClockBook book;
  if (text.empty()) return book;
  if (text.size() > kLongestClockText || text.substr(0, kHead.size()) != kHead) return std::nullopt;
  text.remove_prefix(kHead.size());
  while (!text.empty()) {
    const auto line = take_until(text, '\n');
    auto clock = line ? read_line(*line) : std::nullopt;
    if (!clock || book.size() == kMostClocks || find_clock(book, clock->sample_rate_hz, clock->input))
      return std::nullopt;
    book.push_back(std::move(*clock));
  }
  return book;
}

std::string write_clocks(const ClockBook& book) {
  if (book.empty()) return "";
  std::string text(kHead);
  for (const CheckedClock& clock : book) {
    text += write_decimal(clock.sample_rate_hz) + ' ' + write_signed(clock.correction.fast_ppm) + ' ' +
            write_decimal(clock.correction.u95_ppm) + ' ' + clock.date + ' ' + write_name(clock.input) + '\n';
  }
  return text;
}

bool keep_clock(ClockBook& book, CheckedClock clock) {
  clock.input = shortened(std::move(clock.input));
  if (!fits(clock)) return false;
  std::erase_if(book, [&](const CheckedClock& each) {
    return each.sample_rate_hz == clock.sample_rate_hz && each.input == clock.input;
  });
  if (book.size() == kMostClocks) book.erase(book.begin());
  book.push_back(std::move(clock));
  return true;
}

const CheckedClock* find_clock(const ClockBook& book, double sample_rate_hz, std::string_view input) noexcept {
  const auto found = std::find_if(book.begin(), book.end(), [&](const CheckedClock& each) {
    const bool same = each.input == input;
    const bool cut = input.size() > kLongestInputName && !each.input.empty() && input.starts_with(each.input);
    return each.sample_rate_hz == sample_rate_hz && (same || cut);
  });
  return found == book.end() ? nullptr : &*found;
}

}  // namespace four76
