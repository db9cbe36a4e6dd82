// Any text at all: it is refused, or the drawer survives being written and read again.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "web/tapes/drawer.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto drawer = four76::read_drawer({reinterpret_cast<const char*>(data), size});
  if (!drawer) return 0;
  const std::string written = four76::write_drawer(*drawer);
  const auto again = four76::read_drawer(written);
  if (!again || again->tapes.size() != drawer->tapes.size() || four76::write_drawer(*again) != written) std::abort();
  return 0;
}
