// Resampling and low-pass filtering by a windowed sinc (Smith, "Digital audio resampling", common practice): each
// output is the sum of the inputs around its time, weighed by a sinc under a Hann window of 32 zero crossings. Exact in
// time: output n lies at n / out_hz. Its band ends at 0.45 of the lower rate.
#pragma once

#include <vector>

namespace four76::scenes {

std::vector<float> resample(const std::vector<float>& in, double in_hz, double out_hz);

// The same rate out as in; -6 dB at the corner, no delay.
std::vector<float> low_pass(const std::vector<float>& in, double rate_hz, double corner_hz);

}  // namespace four76::scenes
