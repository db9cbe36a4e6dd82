#include "tests/endurance/counted_memory.hpp"

#include <malloc.h>

#include <atomic>
#include <cstdlib>
#include <new>

namespace {

std::atomic<long> allocations{0};
std::atomic<std::size_t> held_bytes{0};

void* counted(std::size_t size) noexcept {
  void* const memory = std::malloc(size == 0 ? 1 : size);
  allocations.fetch_add(1, std::memory_order_relaxed);
  held_bytes.fetch_add(malloc_usable_size(memory), std::memory_order_relaxed);
  return memory;
}
void* counted_or_throw(std::size_t size) {
  if (void* const memory = counted(size)) return memory;
  throw std::bad_alloc();
}
void give_back(void* memory) noexcept {
  held_bytes.fetch_sub(malloc_usable_size(memory), std::memory_order_relaxed);
  std::free(memory);
}

}  // namespace

void* operator new(std::size_t size) { return counted_or_throw(size); }
void* operator new[](std::size_t size) { return counted_or_throw(size); }
// Some of the library's algorithms ask for a buffer and do without where there is none: that is to be freed alike.
void* operator new(std::size_t size, const std::nothrow_t&) noexcept { return counted(size); }
void operator delete(void* memory, const std::nothrow_t&) noexcept { give_back(memory); }
void operator delete(void* memory) noexcept { give_back(memory); }
void operator delete[](void* memory) noexcept { give_back(memory); }
void operator delete(void* memory, std::size_t) noexcept { give_back(memory); }
void operator delete[](void* memory, std::size_t) noexcept { give_back(memory); }

namespace four76::test {

long allocations() noexcept { return ::allocations.load(std::memory_order_relaxed); }
std::size_t held_bytes() noexcept { return ::held_bytes.load(std::memory_order_relaxed); }

}  // namespace four76::test
