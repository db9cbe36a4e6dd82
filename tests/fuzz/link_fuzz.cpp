// Any text at all: it is refused with a reason, or its settings survive being written and read again.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "core/records/link.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view fragment(reinterpret_cast<const char*>(data), size);
  const auto settings = four76::parse_link(fragment);
  if (!settings) {
    if (four76::message_of(settings.fault()).empty()) std::abort();
    return 0;
  }
  const auto written = four76::write_link(settings.value());
  if (!written) return 0;  // plain characters written as %XX can make a link too long
  const auto again = four76::parse_link(*written);
  if (!again || four76::write_link(again.value()) != written) std::abort();
  if (again.value().note != settings.value().note) std::abort();
  return 0;
}
