// Sorting of some dozens of entries: by insertion, stable, in place. The library's general sorts are no faster for so
// few, and each use of them weighs two to nine kilobytes of the page.
#pragma once

#include <cstddef>
#include <iterator>
#include <utility>

namespace four76 {

// `before(a, b)`: a belongs ahead of b. Random access; time grows with the square of the count.
template <typename Iterator, typename Before>
void sort_few(Iterator first, Iterator last, Before before) {
  if (first == last) return;
  for (Iterator next = std::next(first); next != last; ++next) {
    auto entry = std::move(*next);
    Iterator place = next;
    for (; place != first && before(entry, *std::prev(place)); --place) *place = std::move(*std::prev(place));
    *place = std::move(entry);
  }
}

}  // namespace four76
