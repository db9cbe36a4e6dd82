// Any text at all: it is refused, or the tapes survive being written and read again.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "core/records/tape_book.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto book = four76::read_tapes({reinterpret_cast<const char*>(data), size});
  if (!book) return 0;
  const std::string written = four76::write_tapes(*book);
  const auto again = four76::read_tapes(written);
  if (!again || again->size() != book->size() || four76::write_tapes(*again) != written) std::abort();
  for (std::size_t i = 0; i < book->size(); ++i)
    if ((*again)[i].tape != (*book)[i].tape || (*again)[i].date != (*book)[i].date) std::abort();
  return 0;
}
