// Result: a value, or the fault that kept it from being made. For files, links and settings at the edges of core, where
// what comes in may be anything. (The standard's own type for this comes with C++23.)
#pragma once

#include <cassert>
#include <utility>
#include <variant>

namespace four76 {

template <class Value, class Fault>
class [[nodiscard]] Result {
 public:
  Result(Value value) : held_(std::in_place_index<0>, std::move(value)) {}
  Result(Fault fault) : held_(std::in_place_index<1>, std::move(fault)) {}

  explicit operator bool() const noexcept { return held_.index() == 0; }

  [[nodiscard]] Value& value() noexcept { return *checked(std::get_if<0>(&held_)); }
  [[nodiscard]] const Value& value() const noexcept { return *checked(std::get_if<0>(&held_)); }
  [[nodiscard]] const Fault& fault() const noexcept { return *checked(std::get_if<1>(&held_)); }

  Value& operator*() noexcept { return value(); }
  const Value& operator*() const noexcept { return value(); }
  Value* operator->() noexcept { return &value(); }
  const Value* operator->() const noexcept { return &value(); }

 private:
  template <class T>
  static T* checked(T* held) noexcept {
    assert(held && "ask a Result whether it holds a value before taking one");
    return held;
  }
  std::variant<Value, Fault> held_;
};

}  // namespace four76
