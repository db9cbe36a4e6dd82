// CountedMemory: every operator new of a program that links this is counted, so that tests can say that a stretch of
// code allocates nothing, or that what it holds does not grow. Native alone (malloc_usable_size).
#pragma once

#include <cstddef>

namespace four76::test {

[[nodiscard]] long allocations() noexcept;        // so far
[[nodiscard]] std::size_t held_bytes() noexcept;  // allocated and not given back

}  // namespace four76::test
