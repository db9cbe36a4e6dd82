// WindowMaximum: the largest of the values that passed within a window, to a hundredth of its length.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>

namespace four76 {

class WindowMaximum {
 public:
  explicit WindowMaximum(std::size_t window_points)
      : block_points_(std::max<std::size_t>(1, window_points / kBlocks)) {}
  void reset() noexcept {
    blocks_.fill(0.0);
    block_ = in_block_ = 0;
  }
  // A magnitude; 0 where only time passes.
  void add(double value) noexcept {
    blocks_[block_] = std::max(blocks_[block_], value);
    if (++in_block_ < block_points_) return;
    in_block_ = 0;
    block_ = (block_ + 1) % kBlocks;
    blocks_[block_] = 0.0;
  }
  [[nodiscard]] double largest() const noexcept { return *std::max_element(blocks_.begin(), blocks_.end()); }

 private:
  static constexpr std::size_t kBlocks = 100;
  std::array<double, kBlocks> blocks_{};
  std::size_t block_points_, block_ = 0, in_block_ = 0;
};

}  // namespace four76
