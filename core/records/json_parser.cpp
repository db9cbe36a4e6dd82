// The reading side of Json.
#include <algorithm>
#include <cmath>
#include <utility>

#include "core/phrase.hpp"
#include "core/records/json.hpp"
#include "core/records/percent_text.hpp"

namespace four76 {
namespace {

constexpr std::size_t kLongestNumber = 60;  // characters
constexpr double kLeastNumber = 1e-280;     // nearer to 0 is 0: no figure is so small
constexpr std::size_t kMostMembers = 64;    // of one object: names are looked for one by one

bool is_digit(char c) noexcept { return c >= '0' && c <= '9'; }

class Parser {
 public:
  Parser(std::string_view text, const JsonLimits& limits) : text_(text), limits_(limits) {}

  Result<Json, JsonFault> parse() {
    Json value;
    skip_space();
    if (!take_value(value, 0)) return fault_;
    skip_space();
    if (at_ != text_.size()) return JsonFault::not_json;
    return value;
  }

 private:
  bool fail(JsonFault fault) noexcept {
    fault_ = fault;
    return false;
  }
  bool fail_here() noexcept { return fail(at_ >= text_.size() ? JsonFault::cut_off : JsonFault::not_json); }
  [[nodiscard]] char here() const noexcept { return at_ < text_.size() ? text_[at_] : '\0'; }
  void skip_space() noexcept {
    while (at_ < text_.size() && (here() == ' ' || here() == '\n' || here() == '\r' || here() == '\t')) ++at_;
  }
  bool take(char c) noexcept {
    if (here() != c || at_ >= text_.size()) return false;
    ++at_;
    return true;
  }
  bool take_word(std::string_view word, Json value, Json& out) {
    if (text_.substr(at_, word.size()) != word)
      return fail(word.starts_with(text_.substr(at_)) ? JsonFault::cut_off : JsonFault::not_json);
    at_ += word.size();
    out = std::move(value);
    return true;
  }

  bool take_value(Json& out, std::size_t depth) {
    if (depth > limits_.depth) return fail(JsonFault::too_deep);
    if (++values_ > limits_.values) return fail(JsonFault::too_many_values);
    switch (here()) {
      case '{': return take_object(out, depth);
      case '[': return take_array(out, depth);
      case '"': return take_text(out);
      case 't': return take_word("true", Json::boolean(true), out);
      case 'f': return take_word("false", Json::boolean(false), out);
      case 'n': return take_word("null", Json(), out);
      default: return take_number(out);
    }
  }

  bool take_array(Json& out, std::size_t depth) {
    ++at_;
    out = Json::array();
    skip_space();
    if (take(']')) return true;
    while (true) {
      Json item;
      skip_space();
      if (!take_value(item, depth + 1)) return false;
      out.add(std::move(item));
      skip_space();
      if (take(']')) return true;
      if (!take(',')) return fail_here();
    }
  }

  bool take_object(Json& out, std::size_t depth) {
    ++at_;
    out = Json::object();
    skip_space();
    if (take('}')) return true;
    while (true) {
      std::string name;
      Json value;
      skip_space();
      if (here() != '"') return fail_here();
      if (!take_string(name)) return false;
      if (out.find(name)) return fail(JsonFault::repeated_name);
      if (out.members().size() == kMostMembers) return fail(JsonFault::too_many_values);
      skip_space();
      if (!take(':')) return fail_here();
      skip_space();
      if (!take_value(value, depth + 1)) return false;
      out.set(name, std::move(value));
      skip_space();
      if (take('}')) return true;
      if (!take(',')) return fail_here();
    }
  }

  bool take_text(Json& out) {
    std::string text;
    if (!take_string(text)) return false;
    out = Json::string(text);
    return true;
  }

  bool take_string(std::string& out) {
    ++at_;
    while (at_ < text_.size()) {
      const char c = text_[at_++];
      if (c == '"') return is_utf8(out) || fail(JsonFault::bad_text);
      if (static_cast<unsigned char>(c) < 0x20u) return fail(JsonFault::bad_text);
      if (c != '\\')
        out += c;
      else if (!take_escape(out))
        return false;
    }
    return fail(JsonFault::cut_off);
  }

  bool take_escape(std::string& out) {
    static constexpr std::string_view kLetters = "\"\\/bfnrt", kMeant = "\"\\/\b\f\n\r\t";
    if (at_ >= text_.size()) return fail(JsonFault::cut_off);
    const char c = text_[at_++];
    if (c == 'u') return take_code(out);
    const auto which = kLetters.find(c);
    if (which == std::string_view::npos) return fail(JsonFault::bad_text);
    out += kMeant[which];
    return true;
  }

  std::optional<unsigned> take_four() noexcept {
    unsigned code = 0;
    for (int i = 0; i < 4; ++i) {
      const char c = here();
      const int digit = is_digit(c)              ? c - '0'
                        : (c >= 'a' && c <= 'f') ? c - 'a' + 10
                        : (c >= 'A' && c <= 'F') ? c - 'A' + 10
                                                 : -1;
      if (digit < 0) return std::nullopt;
      code = code * 16u + static_cast<unsigned>(digit);
      ++at_;
    }
    return code;
  }

  bool take_code(std::string& out) {
    auto code = take_four();
    if (!code || (*code >= 0xDC00u && *code < 0xE000u)) return fail(JsonFault::bad_text);
    if (*code >= 0xD800u && *code < 0xDC00u) {
      if (!take('\\') || !take('u')) return fail(JsonFault::bad_text);
      const auto low = take_four();
      if (!low || *low < 0xDC00u || *low >= 0xE000u) return fail(JsonFault::bad_text);
      code = 0x10000u + ((*code - 0xD800u) << 10u) + (*low - 0xDC00u);
    }
    append_utf8(out, *code);
    return true;
  }

  static void append_utf8(std::string& out, unsigned code) {
    const auto put = [&out](unsigned byte) { out += static_cast<char>(static_cast<unsigned char>(byte)); };
    if (code < 0x80u) return put(code);
    if (code < 0x800u) {
      put(0xC0u | code >> 6u);
    } else {
      if (code < 0x10000u) {
        put(0xE0u | code >> 12u);
      } else {
        put(0xF0u | code >> 18u);
        put(0x80u | (code >> 12u & 0x3Fu));
      }
      put(0x80u | (code >> 6u & 0x3Fu));
    }
    put(0x80u | (code & 0x3Fu));
  }

  // Line ends and tabs are allowed in a string; any other control character is not.
  static bool is_utf8(std::string_view text) {
    std::size_t from = 0;
    while (from <= text.size()) {
      const auto to = std::min(text.find_first_of("\n\r\t", from), text.size());
      if (to > from && !is_one_line_of_utf8(text.substr(from, to - from))) return false;
      from = to + 1;
    }
    return true;
  }

  // Digits onto the mantissa; those beyond what a double holds only count. Returns how many were taken in.
  int take_digits(double& mantissa, int& left_out) noexcept {
    int taken = 0;
    for (; is_digit(here()); ++at_) {
      const bool full = mantissa > 1e17;
      if (full) ++left_out;
      if (!full) mantissa = 10.0 * mantissa + (here() - '0');
      if (!full) ++taken;
    }
    return taken;
  }
  // The standard library's parser reads every form of C's numbers and would add 5 KB to the page.
  bool take_number(Json& out) {
    const std::size_t begin = at_;
    const bool negative = take('-');
    if (!is_digit(here())) return fail_here();
    double mantissa = 0.0;
    int exponent = 0, behind = 0;
    if (!take('0')) take_digits(mantissa, exponent);
    if (take('.')) {
      if (!is_digit(here())) return fail(JsonFault::bad_number);
      exponent -= take_digits(mantissa, behind);
    }
    if ((here() == 'e' || here() == 'E') && !take_exponent(exponent)) return false;
    if (at_ - begin > kLongestNumber) return fail(JsonFault::bad_number);
    const double scale = std::pow(10.0, std::abs(exponent));
    const double value = exponent < 0 ? mantissa / scale : mantissa * scale;
    if (mantissa != 0.0 && !std::isfinite(value)) return fail(JsonFault::bad_number);
    out = Json::number(mantissa == 0.0 || value < kLeastNumber ? 0.0 : negative ? -value : value);
    return true;
  }
  bool take_exponent(int& exponent) noexcept {
    ++at_;
    const bool minus = !take('+') && take('-');
    if (!is_digit(here())) return fail(JsonFault::bad_number);
    double size = 0.0;
    int left_out = 0;
    take_digits(size, left_out);
    exponent += static_cast<int>(minus ? -std::min(size, 9999.0) : std::min(size, 9999.0));
    return true;
  }

  std::string_view text_;
  JsonLimits limits_;
  std::size_t at_ = 0, values_ = 0;
  JsonFault fault_ = JsonFault::not_json;
};

}  // namespace

std::string_view message_of(JsonFault fault) noexcept {
  switch (fault) {
    case JsonFault::too_large: return tr("The file is too large to be a file of this page.");
    case JsonFault::too_deep: return tr("The file is nested too deeply to be a file of this page.");
    case JsonFault::too_many_values: return tr("The file holds too much to be a file of this page.");
    case JsonFault::not_json: return tr("The file is not JSON.");
    case JsonFault::cut_off: return tr("The file ends too early: save or send it again.");
    case JsonFault::bad_text: return tr("A text in the file is damaged.");
    case JsonFault::bad_number: return tr("A number in the file is damaged.");
    case JsonFault::repeated_name: return tr("The file says one thing twice.");
  }
  return tr("The file cannot be read.");
}

Result<Json, JsonFault> parse_json(std::string_view text, const JsonLimits& limits) {
  if (text.size() > limits.bytes) return JsonFault::too_large;
  return Parser(text, limits).parse();
}

}  // namespace four76
