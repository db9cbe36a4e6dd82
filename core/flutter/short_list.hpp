// ShortList: a handful of values in a row, at most so many, without memory beyond itself.
#pragma once

#include <array>
#include <cstddef>

namespace four76 {

template <class Value, std::size_t kMost>
class ShortList {
 public:
  // False where it is full; the value is then left out.
  bool add(const Value& value) noexcept {
    if (size_ == kMost) return false;
    items_[size_++] = value;
    return true;
  }
  void clear() noexcept { size_ = 0; }
  void shorten(std::size_t size) noexcept {
    if (size < size_) size_ = size;
  }
  [[nodiscard]] bool empty() const noexcept { return size_ == 0; }
  [[nodiscard]] std::size_t size() const noexcept { return size_; }
  [[nodiscard]] Value& operator[](std::size_t i) noexcept { return items_[i]; }
  [[nodiscard]] const Value& operator[](std::size_t i) const noexcept { return items_[i]; }
  [[nodiscard]] Value* begin() noexcept { return items_.data(); }
  [[nodiscard]] Value* end() noexcept { return items_.data() + size_; }
  [[nodiscard]] const Value* begin() const noexcept { return items_.data(); }
  [[nodiscard]] const Value* end() const noexcept { return items_.data() + size_; }

 private:
  std::array<Value, kMost> items_{};
  std::size_t size_ = 0;
};

}  // namespace four76
