// phrase: a text that people read. It is written in English where it is used, and told in the language that is set
// where its catalogue (assets/words) has it. The English text is the key, by its hash, so that a
// catalogue need not carry it. What machines read (CSV, JSON, names of fields) is no phrase.
#pragma once

#include <cstddef>
#include <cstdint>
#include <initializer_list>
#include <string>
#include <string_view>

namespace four76 {

// FNV-1a, folded to 20 bits; tests/words_check.mjs sees to it that no two phrases share one. The same in
// shell/words.js.
[[nodiscard]] constexpr std::uint32_t phrase_hash(std::string_view english) noexcept {
  std::uint32_t hash = 0x811C9DC5u;
  for (const char c : english) hash = (hash ^ static_cast<unsigned char>(c)) * 0x01000193u;
  return (hash >> 20u) ^ (hash & 0xFFFFFu);
}

// Made from a literal alone, so that tests/words_check.mjs finds every one of them. What stands behind "##" tells apart
// what other languages say differently ("Good##level"); it is never shown. One pointer, and hashed when it is told:
// with a length and a hash beside it the page's program was 25 KB larger.
class Phrase {
 public:
  template <std::size_t N>
  consteval Phrase(const char (&key)[N]) : key_(key) {}  // NOLINT(google-explicit-constructor): a literal is a phrase
  [[nodiscard]] constexpr std::string_view key() const noexcept { return key_; }

 private:
  const char* key_;
};

// The phrase in the language that is set; good until another one is.
[[nodiscard]] std::string_view tr(Phrase phrase) noexcept;

// A text with {0}, {1} ... replaced by the parts. A place without a part stays as it is.
[[nodiscard]] std::string fill(std::string_view text, std::initializer_list<std::string_view> parts);

// The phrase with its parts, each a text: say("Runs {0} fast", percent(x)).
[[nodiscard]] std::string say(Phrase phrase);
[[nodiscard]] std::string say(Phrase phrase, std::string_view part);
[[nodiscard]] std::string say(Phrase phrase, const std::string& part);
[[nodiscard]] std::string say(Phrase phrase, const char* part);
[[nodiscard]] std::string say(Phrase phrase, std::string_view first, std::string_view second);
[[nodiscard]] std::string say(Phrase phrase, const std::string& first, const std::string& second);
template <class... Parts>
requires(sizeof...(Parts) > 2) [[nodiscard]] std::string say(Phrase phrase, const Parts&... parts) {
  return fill(tr(phrase), {std::string_view(parts)...});
}

// A catalogue as the page loads it: a line of the decimal mark, then for each phrase a line of its hash in five
// hexadecimal digits and the text. An empty one is English. A line that is none of these is left out.
void set_language(std::string_view catalogue);

// Of the numbers that people read: '.' or ','.
[[nodiscard]] char decimal_mark() noexcept;
// A number's digits as they are read: with that mark.
[[nodiscard]] std::string with_decimal_mark(std::string number);

}  // namespace four76
