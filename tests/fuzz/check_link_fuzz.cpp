// Any text at all, also with its sum put right, so that what lies behind the sum is reached: it is refused with a
// reason, or what it says survives being written and read again.
#include <array>
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <string_view>
#include <variant>

#include "core/records/check_link.hpp"

namespace {

void follow(std::string_view fragment) {
  const auto link = four76::parse_any_link(fragment);
  if (!link) {
    if (four76::message_of(link.fault()).empty()) std::abort();
    return;
  }
  const auto again = [](const auto& value) {
    const auto written = write_link(value);
    if (!written) return;  // plain characters written as %XX can make a link too long
    const auto read = four76::parse_any_link(*written);
    if (!read || read->index() != four76::AnyLink(value).index()) std::abort();
  };
  std::visit(again, link.value());
}

std::uint32_t crc32(std::string_view text) {
  std::uint32_t crc = ~0u;
  for (const char c : text) {
    crc ^= static_cast<unsigned char>(c);
    for (int bit = 0; bit < 8; ++bit) crc = (crc >> 1u) ^ (0xEDB88320u & (0u - (crc & 1u)));
  }
  return ~crc;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  follow(text);
  const std::string body = "v2." + std::string(text);
  std::array<char, 16> sum{};
  std::snprintf(sum.data(), sum.size(), "%08x", static_cast<unsigned>(crc32(body)));
  follow(body + "&sum=" + sum.data());
  return 0;
}
