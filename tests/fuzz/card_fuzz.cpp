// Any file at all: it is refused with the reason, or what was kept of it survives being written, read and merged.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "core/records/card.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto read = four76::read_cards({reinterpret_cast<const char*>(data), size});
  if (!read) {
    if (read.fault().why.empty()) std::abort();
    return 0;
  }
  for (const auto& each : read->set_aside)
    if (each.what.empty() || each.why.empty()) std::abort();
  const auto text = four76::write_cards(read->cards);
  const auto again = four76::read_cards(text);
  if (!again || !again->set_aside.empty() || four76::write_cards(again->cards) != text) std::abort();
  four76::Cards merged = again->cards;
  four76::merge_cards(merged, again->cards);
  if (merged.cards.size() != again->cards.cards.size()) std::abort();
  if (four76::cards_csv(merged).empty()) std::abort();
  return 0;
}
