// Limited tone: flat tops made ahead of the converter, below full scale, where only the third harmonic shows them.
//
// Tape itself gives a third harmonic of 1 to 3 %, 5 % when driven hard: -40 to -26 dB (common practice). A limit 3 dB
// into the sine gives -22 dB (derived: Fourier series of a sine limited at 0.71 of its peak); its fifth may vanish.
#pragma once

#include <span>

namespace four76 {

// `power` is a calibrated spectrum from 0 Hz on. False where it does not reach to the third harmonic.
bool is_limited(std::span<const float> power, double bin_hz, double tone_hz) noexcept;

}  // namespace four76
