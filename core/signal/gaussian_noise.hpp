// GaussianNoise: a repeatable stream of independent normal numbers, mean 0 and variance 1.
//
// Uniform bits: SplitMix64 (Steele, Lea and Flood, "Fast splittable pseudorandom number generators", 2014): a counter
// with a golden-ratio stride, put through a 64-bit mixing function; period 2^64. Normal numbers: the Box-Muller
// transform, z = sqrt(-2 ln u) (cos 2 pi v, sin 2 pi v), two at a time.
// For the demo, the dither of what is written and the tests; no use in measuring and none for secrets.
#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>

namespace four76 {

class GaussianNoise {
 public:
  explicit GaussianNoise(std::uint64_t seed) noexcept : counter_(seed) {}

  // In the open interval 0 to 1, on the centres of 2^53 equal cells, so that its logarithm is always finite.
  double next_uniform() noexcept { return (static_cast<double>(next_bits() >> 11) + 0.5) * 0x1p-53; }

  double next() noexcept {
    if (has_spare_) {
      has_spare_ = false;
      return spare_;
    }
    const double radius = std::sqrt(-2.0 * std::log(next_uniform()));
    const double angle = 2.0 * std::numbers::pi * next_uniform();
    spare_ = radius * std::sin(angle);
    has_spare_ = true;
    return radius * std::cos(angle);
  }

 private:
  std::uint64_t next_bits() noexcept {
    std::uint64_t z = counter_ += 0x9E3779B97F4A7C15u;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
  }

  std::uint64_t counter_;
  double spare_ = 0.0;
  bool has_spare_ = false;
};

}  // namespace four76
