// Convolution by overlapping blocks, with FFTW.
#pragma once

#include <vector>

namespace four76::scenes {

// As long as `in`: what comes after is cut off.
std::vector<float> convolve(const std::vector<float>& in, const std::vector<double>& response);

}  // namespace four76::scenes
