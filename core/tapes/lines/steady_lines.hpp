// What HumLines does to steady lines: the floor that one stands on, and taking one out of the samples.
#pragma once

#include <cstddef>
#include <span>

namespace four76 {

// The mean power of noise about a bin of a power spectrum: the median of the bins 3 to 8 away on both sides over ln 2.
// So near that a note's own width counts as floor: a stretch holds 16 s, a note 1 to 2 s.
[[nodiscard]] float floor_beside(std::span<const float> power, std::ptrdiff_t bin) noexcept;

// Takes a sinusoid out by least squares under Hann's window. Its complex amplitude may change linearly, which also fits
// one that is a little off in frequency. `window` is as long as the samples; their number is a multiple of 64.
void take_line_out(std::span<float> samples, std::span<const float> window, double cycles_per_sample) noexcept;

}  // namespace four76
