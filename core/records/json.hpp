// Json: a small strict reader and writer of JSON (RFC 8259), for files that anybody may have made.
//
// Read as a tree. Refused: anything after the value, anything deeper, longer or with more values than allowed, a name
// that stands twice in an object, numbers that are no finite double, strings that are not UTF-8 or hold a lone
// surrogate. No exceptions; the reader never looks outside the text.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "core/result.hpp"

namespace four76 {

class Json {
 public:
  enum class Kind : std::uint8_t { null, boolean, number, string, array, object };
  using Member = std::pair<std::string, Json>;

  Json() = default;
  static Json boolean(bool value);
  static Json number(double value);  // not finite: null
  static Json number(std::optional<double> value);
  static Json string(std::string_view text);
  static Json array();
  static Json object();

  [[nodiscard]] Kind kind() const noexcept { return kind_; }
  // Nothing, or an empty list, where it is of another kind.
  [[nodiscard]] std::optional<bool> as_boolean() const noexcept;
  [[nodiscard]] std::optional<double> as_number() const noexcept;
  [[nodiscard]] const std::string* as_string() const noexcept;
  [[nodiscard]] const std::vector<Json>& items() const noexcept { return items_; }
  [[nodiscard]] const std::vector<Member>& members() const noexcept { return members_; }
  [[nodiscard]] const Json* find(std::string_view name) const noexcept;

  // Appends to an array; to an object that has no such name yet.
  Json& add(Json item);
  Json& set(std::string_view name, Json value);

 private:
  Kind kind_ = Kind::null;
  bool truth_ = false;
  double number_ = 0.0;
  std::string text_;
  std::vector<Json> items_;
  std::vector<Member> members_;
};

struct JsonLimits {
  std::size_t bytes = 8u << 20u;
  std::size_t depth = 12;
  std::size_t values = 400000;
};

enum class JsonFault : std::uint8_t {
  too_large,
  too_deep,
  too_many_values,
  not_json,       // a character that has no place there
  cut_off,        // it ends too early
  bad_text,       // not UTF-8, a broken escape
  bad_number,     // no finite number
  repeated_name,  // in one object
};
[[nodiscard]] std::string_view message_of(JsonFault fault) noexcept;

[[nodiscard]] Result<Json, JsonFault> parse_json(std::string_view text, const JsonLimits& limits = {});
// One value a line in the outer two levels, so that a person may read it; numbers to nine significant digits,
// those from 1e9 to 9e15 as whole numbers.
[[nodiscard]] std::string write_json(const Json& value);

}  // namespace four76
