// Any text at all: it is refused, or the parts that a machine can have survive being written and read again.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "core/records/parts_text.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto known = four76::known_parts_of({reinterpret_cast<const char*>(data), size});
  if (!known || four76::fault_in(*known)) return 0;  // which the page does not keep
  const std::string written = four76::text_of(*known);
  const auto again = four76::known_parts_of(written);
  if (!again || four76::text_of(*again) != written || four76::fault_in(*again)) std::abort();
  return 0;
}
