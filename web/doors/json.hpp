// JsonWriter: JSON as text; commas and quotes are its business. Numbers carry eight decimals, which hold all that a
// reading tells (1e-7 Hz); a number that is missing or not finite is null.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>

namespace four76 {

class JsonWriter {
 public:
  JsonWriter& open(char bracket);
  JsonWriter& close(char bracket);
  JsonWriter& key(std::string_view name);
  JsonWriter& value(std::string_view text);
  JsonWriter& value(const char* text) { return value(std::string_view(text)); }
  JsonWriter& value(bool truth) { return raw(truth ? "true" : "false"); }
  JsonWriter& value(std::optional<double> number);
  JsonWriter& raw(std::string_view literal);
  std::string take() { return std::move(text_); }

 private:
  void comma();
  void escape(char c);
  std::string text_;
  bool first_ = true;
};

// {"fault": why}: what a door answers in place of what was asked for.
[[nodiscard]] std::string fault_json(std::string_view why);

}  // namespace four76
