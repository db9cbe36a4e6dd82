// JsonWriter: JSON as text; commas and quotes are its business. Numbers carry eight decimals, more than the contract's
// seven of a hertz; a number that is missing or not finite is null.
#pragma once

#include <cmath>
#include <cstdio>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

namespace four76 {

class JsonWriter {
 public:
  JsonWriter& open(char bracket) {
    comma();
    text_ += bracket;
    first_ = true;
    return *this;
  }
  JsonWriter& close(char bracket) {
    text_ += bracket;
    first_ = false;
    return *this;
  }
  JsonWriter& key(std::string_view name) {
    value(name);
    text_ += ':';
    first_ = true;  // no comma before the value
    return *this;
  }
  JsonWriter& value(std::string_view text) {
    comma();
    text_ += '"';
    for (const char c : text) escape(c);
    text_ += '"';
    return *this;
  }
  JsonWriter& value(const char* text) { return value(std::string_view(text)); }
  JsonWriter& value(bool truth) { return raw(truth ? "true" : "false"); }
  JsonWriter& value(std::optional<double> number) {
    if (!number || !std::isfinite(*number)) return raw("null");
    char digits[64];
    std::snprintf(digits, sizeof digits, "%.8f", *number);
    return raw(digits);
  }
  JsonWriter& raw(std::string_view literal) {
    comma();
    text_ += literal;
    return *this;
  }
  std::string take() { return std::move(text_); }

 private:
  void comma() {
    if (!first_) text_ += ',';
    first_ = false;
  }
  void escape(char c) {
    if (c == '"' || c == '\\') {
      text_ += '\\';
      text_ += c;
    } else if (static_cast<unsigned char>(c) < 0x20) {
      char code[8];
      std::snprintf(code, sizeof code, "\\u%04x", static_cast<unsigned>(c));
      text_ += code;
    } else {
      text_ += c;
    }
  }
  std::string text_;
  bool first_ = true;
};

}  // namespace four76
