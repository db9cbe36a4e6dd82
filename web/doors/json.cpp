#include "web/doors/json.hpp"

#include <cmath>
#include <cstdio>

namespace four76 {

JsonWriter& JsonWriter::open(char bracket) {
  comma();
  text_ += bracket;
  first_ = true;
  return *this;
}

JsonWriter& JsonWriter::close(char bracket) {
  text_ += bracket;
  first_ = false;
  return *this;
}

JsonWriter& JsonWriter::key(std::string_view name) {
  value(name);
  text_ += ':';
  first_ = true;  // no comma before the value
  return *this;
}

JsonWriter& JsonWriter::value(std::string_view text) {
  comma();
  text_ += '"';
  for (const char c : text) escape(c);
  text_ += '"';
  return *this;
}

JsonWriter& JsonWriter::value(std::optional<double> number) {
  if (!number || !std::isfinite(*number)) return raw("null");
  char digits[64];
  std::snprintf(digits, sizeof digits, "%.8f", *number);
  return raw(digits);
}

JsonWriter& JsonWriter::raw(std::string_view literal) {
  comma();
  text_ += literal;
  return *this;
}

void JsonWriter::comma() {
  if (!first_) text_ += ',';
  first_ = false;
}

void JsonWriter::escape(char c) {
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

std::string fault_json(std::string_view why) {
  JsonWriter json;
  json.open('{').key("fault").value(why).close('}');
  return json.take();
}

}  // namespace four76
