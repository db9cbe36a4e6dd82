#include "core/records/json.hpp"

#include <array>
#include <cmath>
#include <cstdio>

namespace four76 {

Json Json::boolean(bool value) {
  Json json;
  json.kind_ = Kind::boolean;
  json.truth_ = value;
  return json;
}

Json Json::number(double value) {
  Json json;
  if (!std::isfinite(value)) return json;
  json.kind_ = Kind::number;
  json.number_ = value;
  return json;
}

Json Json::number(std::optional<double> value) { return value ? number(*value) : Json(); }

Json Json::string(std::string_view text) {
  Json json;
  json.kind_ = Kind::string;
  json.text_ = text;
  return json;
}

Json Json::array() {
  Json json;
  json.kind_ = Kind::array;
  return json;
}

Json Json::object() {
  Json json;
  json.kind_ = Kind::object;
  return json;
}

std::optional<bool> Json::as_boolean() const noexcept {
  return kind_ == Kind::boolean ? std::optional(truth_) : std::nullopt;
}
std::optional<double> Json::as_number() const noexcept {
  return kind_ == Kind::number ? std::optional(number_) : std::nullopt;
}
const std::string* Json::as_string() const noexcept { return kind_ == Kind::string ? &text_ : nullptr; }

const Json* Json::find(std::string_view name) const noexcept {
  for (const Member& member : members_)
    if (member.first == name) return &member.second;
  return nullptr;
}

Json& Json::add(Json item) {
  items_.push_back(std::move(item));
  return *this;
}

Json& Json::set(std::string_view name, Json value) {
  members_.emplace_back(std::string(name), std::move(value));
  return *this;
}

namespace {

void write_text(std::string& out, std::string_view text) {
  out += '"';
  for (const char c : text) {
    if (c == '"' || c == '\\') {
      out.append(1, '\\').append(1, c);
    } else if (static_cast<unsigned char>(c) < 0x20u) {
      std::array<char, 8> code{};
      std::snprintf(code.data(), code.size(), "\\u%04x", static_cast<unsigned>(static_cast<unsigned char>(c)));
      out += code.data();
    } else {
      out += c;
    }
  }
  out += '"';
}

// Numbers between these limits, such as a time in milliseconds, are written as whole ones. Written text, read and
// written again, is the same.
constexpr double kFromWhole = 1e9, kToWhole = 9e15;

void write_number(std::string& out, double value) {
  const double whole = std::round(value);
  const bool is_whole = std::abs(whole) >= kFromWhole && std::abs(value) < kToWhole;
  std::array<char, 40> digits{};
  std::snprintf(digits.data(), digits.size(), is_whole ? "%.0f" : "%.9g", is_whole ? whole : value);
  out += digits.data();
}

void write_value(std::string& out, const Json& value, int depth);

// `end` closes it; a comma or a new line before each entry.
template <typename Entries, typename Write>
void write_entries(std::string& out, const Entries& entries, char begin, char end, int depth, Write&& write) {
  constexpr int kLined = 3;
  out += begin;
  bool first = true;
  for (const auto& entry : entries) {
    if (!first) out += ',';
    first = false;
    if (depth < kLined) out.append(1, '\n').append(static_cast<std::size_t>(depth) + 1, ' ');
    write(entry);
  }
  if (depth < kLined && !first) out.append(1, '\n').append(static_cast<std::size_t>(depth), ' ');
  out += end;
}

void write_value(std::string& out, const Json& value, int depth) {
  switch (value.kind()) {
    case Json::Kind::null: out += "null"; return;
    case Json::Kind::boolean: out += *value.as_boolean() ? "true" : "false"; return;
    case Json::Kind::string: return write_text(out, *value.as_string());
    case Json::Kind::number: return write_number(out, *value.as_number());
    case Json::Kind::array:
      return write_entries(out, value.items(), '[', ']', depth,
                           [&](const Json& item) { write_value(out, item, depth + 1); });
    case Json::Kind::object:
      return write_entries(out, value.members(), '{', '}', depth, [&](const Json::Member& member) {
        write_text(out, member.first);
        out += ':';
        write_value(out, member.second, depth + 1);
      });
  }
}

}  // namespace

std::string write_json(const Json& value) {
  std::string out;
  write_value(out, value, 0);
  out += '\n';
  return out;
}

}  // namespace four76
