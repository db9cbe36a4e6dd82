// Any text at all: it is refused, or the clocks survive being written and read again.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "core/records/clock_book.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto book = four76::read_clocks({reinterpret_cast<const char*>(data), size});
  if (!book) return 0;
  const std::string written = four76::write_clocks(*book);
  const auto again = four76::read_clocks(written);
  if (!again || again->size() != book->size() || four76::write_clocks(*again) != written) std::abort();
  for (std::size_t i = 0; i < book->size(); ++i)
    if ((*again)[i].input != (*book)[i].input || (*again)[i].date != (*book)[i].date) std::abort();
  return 0;
}
