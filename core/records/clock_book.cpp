#include "core/records/clock_book.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "core/records/error_budget.hpp"
#include "core/records/kept_lines.hpp"
#include "core/records/percent_text.hpp"

namespace four76 {
namespace {

constexpr std::string_view kHead = "four76-clocks 1\n";
constexpr double kLowestRateHz = 8000.0, kHighestRateHz = 192000.0;  // of a session

bool fits(const CheckedClock& clock) noexcept {
  const ClockCorrection& c = clock.correction;
  return clock.sample_rate_hz >= kLowestRateHz && clock.sample_rate_hz <= kHighestRateHz &&
         std::fabs(c.fast_ppm) <= kFarthestClock_ppm && c.u95_ppm >= 0.0 && c.u95_ppm <= kUncheckedClock_ppm &&
         clock.input.size() <= kLongestInputName && is_one_line_of_utf8(clock.input) && is_date(clock.date);
}

std::optional<CheckedClock> read_line(std::string_view line) {
  std::array<std::string_view, 4> parts;
  for (std::string_view& part : parts) {
    const auto taken = take_until(line, ' ');
    if (!taken) return std::nullopt;
    part = *taken;
  }
  const auto rate_hz = parse_decimal(parts[0]), fast_ppm = parse_signed(parts[1]), u95_ppm = parse_decimal(parts[2]);
  auto name = read_name(line);
  if (!rate_hz || !fast_ppm || !u95_ppm || !name) return std::nullopt;
  CheckedClock clock{*rate_hz, std::move(*name), {*fast_ppm, *u95_ppm}, std::string(parts[3])};
  if (!fits(clock)) return std::nullopt;
  return clock;
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
