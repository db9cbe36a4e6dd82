// A tone's mean frequency by liquid-dsp: its oscillator, decimating filter and FM demodulator, whose mean over a
// stretch is the phase that passed in it. No search, loop, block or fit in common with the instrument.
#pragma once

#include <complex>  // before liquid.h, whose complex type it then is

#include <liquid/liquid.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <span>

#include "tests/unit/core/test_signals.hpp"

namespace four76::test {

// Of what sounds from `from_s` to `to_s`, to about a millisecond; within 300 Hz of `near_hz` there is nothing else.
inline double mean_by_liquid(std::span<const float> x, double rate_hz, double near_hz, double from_s, double to_s) {
  constexpr unsigned kStep = 32, kHalf = 8;  // samples to one; the filter's half length in these
  firdecim_crcf filter = firdecim_crcf_create_kaiser(kStep, kHalf, 80.0F);
  nco_crcf oscillator = nco_crcf_create(LIQUID_VCO);
  freqdem demodulator = freqdem_create(1.0F);
  const double turn = kTwoPi * near_hz / rate_hz;
  double sum = 0.0;
  double count = 0.0;
  for (std::size_t at = 0; at + kStep <= x.size(); at += kStep) {
    std::array<liquid_float_complex, kStep> mixed;
    for (std::size_t n = 0; n < kStep; ++n) {
      // The oscillator steps in single precision: its phase is set anew, so that no rounding adds up.
      nco_crcf_set_phase(oscillator, static_cast<float>(std::fmod(turn * static_cast<double>(at + n), kTwoPi)));
      nco_crcf_mix_down(oscillator, liquid_float_complex(x[at + n], 0.0F), &mixed[n]);
    }
    liquid_float_complex low;
    firdecim_crcf_execute(filter, mixed.data(), &low);
    float cycles = 0.0F;  // passed in this step
    freqdem_demodulate(demodulator, low, &cycles);
    const double time_s = (static_cast<double>(at) - kStep * kHalf) / rate_hz;
    if (time_s < from_s || time_s >= to_s) continue;
    sum += static_cast<double>(cycles);
    count += 1.0;
  }
  freqdem_destroy(demodulator);
  nco_crcf_destroy(oscillator);
  firdecim_crcf_destroy(filter);
  return near_hz + sum / count * rate_hz / kStep;
}

}  // namespace four76::test
