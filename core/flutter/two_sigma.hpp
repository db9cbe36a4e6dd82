// TwoSigma: the value that the deviation's magnitude exceeds for 5 % of the time (AES6-2008, where it is called the
// 2-sigma figure; preferred there, over at least 5 s).
//
// A sine reads sin(0.95 pi / 2) = 0.997 of its peak, Gaussian deviation 1.960 of its standard deviation (derived).
//
// Kept as a histogram over the logarithm of the magnitude: bins of 0.25 %, 1e-6 to 100 %; below that is 0, above reads
// 100. Within a bin the values count as evenly spread, so that the reading is within 0.25 % of the sorted values' own
// (derived: one bin; half of it where they are spread). Memory does not grow with time: 60 KB, and 2 bytes a point for
// a window that slides.
//
// Without `window_points` the whole since the beginning counts, else the newest so many points, void ones among them.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

namespace four76 {

class TwoSigma {
 public:
  struct Config {
    std::size_t window_points = 0;  // 0: everything
  };
  static constexpr double kExceeded = 0.05;

  explicit TwoSigma(const Config& config);
  void reset() noexcept;
  void add(double deviation_percent) noexcept;
  // A point passes that does not count.
  void add_void() noexcept;

  // Nothing while no point counts.
  [[nodiscard]] std::optional<double> percent() const noexcept;
  [[nodiscard]] std::uint64_t count() const noexcept { return count_; }

 private:
  void slide(std::uint16_t newest) noexcept;
  std::vector<std::uint64_t> bins_;
  std::vector<std::uint16_t> window_;  // the bin of each point, in a ring
  std::size_t next_ = 0;
  std::uint64_t count_ = 0;
};

}  // namespace four76
