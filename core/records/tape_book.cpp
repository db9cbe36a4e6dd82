#include "core/records/tape_book.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "core/records/kept_lines.hpp"
#include "core/records/percent_text.hpp"

namespace four76 {
namespace {

constexpr std::string_view kHead = "four76-tapes 1\n";

bool fits(const KeptTape& kept) noexcept {
  return std::fabs(kept.vote.speed_error_percent) <= kFarthestTape_percent && kept.vote.u95_percent >= 0.0 &&
         kept.vote.u95_percent <= kMostUncertainTape_percent && !kept.tape.empty() && is_date(kept.date) &&
         kept.tape.size() <= kLongestKeptName && kept.machine.size() <= kLongestKeptName &&
         is_one_line_of_utf8(kept.tape) && is_one_line_of_utf8(kept.machine);
}

bool same_tape(const KeptTape& a, const KeptTape& b) noexcept { return a.machine == b.machine && a.tape == b.tape; }

std::optional<KeptTape> read_line(std::string_view line) {
  std::array<std::string_view, 4> parts;
  for (std::string_view& part : parts) {
    const auto taken = take_until(line, ' ');
    if (!taken) return std::nullopt;
    part = *taken;
  }
  const auto error = parse_signed(parts[0]), u95 = parse_decimal(parts[1]);
  auto machine = read_name(parts[3]), tape = read_name(line);
  if (!error || !u95 || !machine || !tape) return std::nullopt;
  KeptTape kept{std::move(*machine), std::move(*tape), {*error, *u95}, std::string(parts[2])};
  if (!fits(kept)) return std::nullopt;
  return kept;
}

}  // namespace

std::optional<TapeBook> read_tapes(std::string_view text) {
  TapeBook book;
  if (text.empty()) return book;
  if (text.size() > kLongestTapesText || text.substr(0, kHead.size()) != kHead) return std::nullopt;
  text.remove_prefix(kHead.size());
  while (!text.empty()) {
    const auto line = take_until(text, '\n');
    auto kept = line ? read_line(*line) : std::nullopt;
    const auto same = [&](const KeptTape& each) { return same_tape(each, *kept); };
    if (!kept || book.size() == kMostTapes || std::any_of(book.begin(), book.end(), same)) return std::nullopt;
    book.push_back(std::move(*kept));
  }
  return book;
}

std::string write_tapes(const TapeBook& book) {
  if (book.empty()) return "";
  std::string text(kHead);
  for (const KeptTape& kept : book) {
    text += write_signed(kept.vote.speed_error_percent) + ' ' + write_decimal(kept.vote.u95_percent) + ' ' + kept.date +
            ' ' + write_name(kept.machine) + ' ' + write_name(kept.tape) + '\n';
  }
  return text;
}

bool keep_tape(TapeBook& book, KeptTape kept) {
  kept.tape = shortened(std::move(kept.tape));
  kept.machine = shortened(std::move(kept.machine));
  if (!fits(kept)) return false;
  std::erase_if(book, [&](const KeptTape& each) { return same_tape(each, kept); });
  if (book.size() == kMostTapes) book.erase(book.begin());
  book.push_back(std::move(kept));
  return true;
}

std::vector<std::size_t> tapes_of(const TapeBook& book, std::string_view machine) {
  std::vector<std::size_t> found;
  for (std::size_t i = 0; i < book.size(); ++i)
    if (book[i].machine == machine) found.push_back(i);
  return found;
}

}  // namespace four76
