// DoorInput: a fuzzer's bytes as a question to one of the page's doors: the first byte says which question, and up to
// four texts follow, parted by zeros.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <optional>
#include <span>
#include <string_view>
#include <utility>

#include "core/records/json.hpp"

namespace four76::fuzz {

inline void require(bool holds) {
  if (!holds) std::abort();
}

struct DoorInput {
  std::string_view what;
  std::array<std::string_view, 4> texts;
};

inline DoorInput door_input(const std::uint8_t* data, std::size_t size, std::span<const std::string_view> questions) {
  DoorInput input;
  std::string_view rest(reinterpret_cast<const char*>(data), size);
  if (rest.empty()) return input;
  input.what = questions[static_cast<std::uint8_t>(rest[0]) % questions.size()];
  rest.remove_prefix(1);
  for (std::string_view& text : input.texts) {
    const auto end = rest.find('\0');
    text = rest.substr(0, end);
    rest = end == std::string_view::npos ? std::string_view{} : rest.substr(end + 1);
  }
  return input;
}

// JSON that the page's script can read; nothing where a text that came as no UTF-8 went through, which no script sends.
inline std::optional<Json> told(std::string_view answer) {
  JsonLimits limits;
  limits.bytes = 64u << 20u;
  limits.values = 10'000'000;
  limits.depth = 20;
  auto json = parse_json(answer, limits);
  if (json) return std::move(*json);
  require(json.fault() == JsonFault::bad_text);
  return std::nullopt;
}

// An answer is an object with a "fault", and holds nothing else where that says something.
inline void require_answer(std::string_view answer) {
  const auto json = told(answer);
  if (!json) return;
  const Json* const fault = json->find("fault");
  require(fault && fault->as_string());
  require(fault->as_string()->empty() || json->members().size() == 1);
}

}  // namespace four76::fuzz
