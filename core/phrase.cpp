#include "core/phrase.hpp"

#include <algorithm>
#include <charconv>
#include <utility>
#include <vector>

namespace four76 {
namespace {

// The one thing in the library that is not handed from call to call: the language is the whole program's.
struct Language {
  struct Entry {
    std::uint32_t hash = 0;
    std::string text;
  };
  char mark = '.';
  std::vector<Entry> entries;  // by hash
};

Language& language() noexcept {
  static Language set;
  return set;
}

bool is_before(const Language::Entry& entry, std::uint32_t hash) noexcept { return entry.hash < hash; }

std::string_view take_line(std::string_view& rest) noexcept {
  const std::size_t end = std::min(rest.find('\n'), rest.size());
  const std::string_view line = rest.substr(0, end);
  rest.remove_prefix(std::min(end + 1, rest.size()));
  return line;
}

}  // namespace

std::string_view tr(Phrase phrase) noexcept {
  const auto& entries = language().entries;
  const std::string_view key = phrase.key();
  const std::uint32_t hash = phrase_hash(key);
  const auto found = std::lower_bound(entries.begin(), entries.end(), hash, is_before);
  if (found != entries.end() && found->hash == hash) return found->text;
  return key.substr(0, key.find("##"));
}

std::string say(Phrase phrase) { return std::string(tr(phrase)); }
std::string say(Phrase phrase, std::string_view part) { return fill(tr(phrase), {part}); }
std::string say(Phrase phrase, const std::string& part) { return fill(tr(phrase), {part}); }
std::string say(Phrase phrase, const char* part) { return fill(tr(phrase), {part}); }
std::string say(Phrase phrase, const std::string& first, const std::string& second) {
  return fill(tr(phrase), {first, second});
}
std::string say(Phrase phrase, std::string_view first, std::string_view second) {
  return fill(tr(phrase), {first, second});
}

std::string fill(std::string_view text, std::initializer_list<std::string_view> parts) {
  std::string filled;
  for (std::size_t at = 0; at < text.size(); ++at) {
    const bool place = text[at] == '{' && at + 2 < text.size() && text[at + 2] == '}' && text[at + 1] >= '0';
    const auto part = static_cast<std::size_t>(place ? text[at + 1] - '0' : 0);
    if (place && part < parts.size()) {
      filled += parts.begin()[part];
      at += 2;
    } else {
      filled += text[at];
    }
  }
  return filled;
}

void set_language(std::string_view catalogue) {
  constexpr std::size_t kDigits = 5;
  Language set;
  if (const std::string_view mark = take_line(catalogue); mark == ",") set.mark = ',';
  while (!catalogue.empty()) {
    const std::string_view line = take_line(catalogue);
    if (line.size() <= kDigits) continue;
    std::uint32_t hash = 0;
    const auto [end, fault] = std::from_chars(line.data(), line.data() + kDigits, hash, 16);
    if (fault == std::errc{} && end == line.data() + kDigits)
      set.entries.push_back({hash, std::string(line.substr(kDigits))});
  }
  std::sort(set.entries.begin(), set.entries.end(),
            [](const auto& one, const auto& other) { return one.hash < other.hash; });
  language() = std::move(set);
}

char decimal_mark() noexcept { return language().mark; }

std::string with_decimal_mark(std::string number) {
  std::replace(number.begin(), number.end(), '.', decimal_mark());
  return number;
}

}  // namespace four76
