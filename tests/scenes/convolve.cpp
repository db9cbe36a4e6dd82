#include "tests/scenes/convolve.hpp"

#include <algorithm>
#include <bit>
#include <complex>

#include "tests/scenes/fft_pair.hpp"

namespace four76::scenes {

namespace {

void load(std::span<double> time, const auto& from) {
  std::fill(time.begin(), time.end(), 0.0);
  std::copy(from.begin(), from.end(), time.begin());
}

}  // namespace

std::vector<float> convolve(const std::vector<float>& in, const std::vector<double>& response) {
  const std::size_t size = std::bit_ceil(4 * response.size());
  const std::size_t block = size - response.size() + 1;
  FftPair fft(size);
  load(fft.time(), response);
  fft.forward();
  const std::vector<std::complex<double>> filter(fft.bins().begin(), fft.bins().end());
  std::vector<float> out(in.size());
  for (std::size_t at = 0; at < in.size(); at += block) {
    load(fft.time(), std::span(in).subspan(at, std::min(block, in.size() - at)));
    fft.forward();
    for (std::size_t k = 0; k < filter.size(); ++k) fft.bins()[k] *= filter[k];
    fft.backward();
    const std::size_t end = std::min(size, in.size() - at);
    for (std::size_t n = 0; n < end; ++n) out[at + n] += static_cast<float>(fft.time()[n]);
  }
  return out;
}

}  // namespace four76::scenes
