// Any text at all: it is refused with a reason, or what was read survives being written and read again.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "core/records/json.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto value = four76::parse_json({reinterpret_cast<const char*>(data), size});
  if (!value) {
    if (four76::message_of(value.fault()).empty()) std::abort();
    return 0;
  }
  const auto written = four76::write_json(value.value());
  const auto again = four76::parse_json(written);
  if (!again || four76::write_json(again.value()) != written) std::abort();
  return 0;
}
