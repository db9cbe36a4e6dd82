// RangeTrace: the lowest and the highest value of each twentieth of a second, over the newest 40 s: a line too fast to
// be drawn point by point, as the band that it fills.
//
// Every point that passes is given, so that a bin's time is its number. Constant memory.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <span>

namespace four76 {

struct TraceRange {
  double time_s = 0.0;  // of the bin's middle, from the first point on
  float lowest_percent = 0.0F;
  float highest_percent = 0.0F;
  bool any = false;  // whether a point counted in it
};

class RangeTrace {
 public:
  struct Config {
    double point_rate_hz = 1000.0;
  };
  static constexpr double kBinS = 0.05;
  static constexpr std::size_t kBins = 800;  // 40 s

  explicit RangeTrace(const Config& config) noexcept : point_s_(1.0 / config.point_rate_hz) {}
  void reset() noexcept {
    bins_.fill({});
    points_ = 0;
  }
  void add(double percent) noexcept {
    TraceRange& bin = bin_of_next();
    const auto value = static_cast<float>(percent);
    bin.lowest_percent = bin.any ? std::min(bin.lowest_percent, value) : value;
    bin.highest_percent = bin.any ? std::max(bin.highest_percent, value) : value;
    bin.any = true;
    ++points_;
  }
  // A point passes that does not count.
  void add_void() noexcept {
    (void)bin_of_next();
    ++points_;
  }

  // The newest whole bins, oldest first: at most out.size(); returns how many.
  std::size_t copy(std::span<TraceRange> out) const noexcept {
    const std::uint64_t whole = bin_number(points_);
    const auto count = static_cast<std::size_t>(std::min<std::uint64_t>({whole, kBins - 1, out.size()}));
    for (std::size_t i = 0; i < count; ++i) out[i] = bins_[(whole - count + i) % kBins];
    return count;
  }

 private:
  [[nodiscard]] std::uint64_t bin_number(std::uint64_t point) const noexcept {
    return static_cast<std::uint64_t>(static_cast<double>(point) * point_s_ / kBinS);
  }
  TraceRange& bin_of_next() noexcept {
    const std::uint64_t number = bin_number(points_);
    TraceRange& bin = bins_[number % kBins];
    const double time_s = (static_cast<double>(number) + 0.5) * kBinS;
    if (points_ == 0 || number != bin_number(points_ - 1)) bin = {.time_s = time_s};
    return bin;
  }

  double point_s_;
  std::uint64_t points_ = 0;
  std::array<TraceRange, kBins> bins_{};
};

}  // namespace four76
