#include "tests/scenes/fft_pair.hpp"

#include <fftw3.h>

#include <mutex>

namespace four76::scenes {

namespace {
// FFTW's planner is not for several threads at once.
std::mutex& planner() {
  static std::mutex mutex;
  return mutex;
}
}  // namespace

FftPair::FftPair(std::size_t size)
    : size_(size),
      time_(fftw_alloc_real(size)),
      bins_(reinterpret_cast<std::complex<double>*>(fftw_alloc_complex(size))) {
  const std::lock_guard lock(planner());
  auto* bins = reinterpret_cast<fftw_complex*>(bins_);
  forward_ = fftw_plan_dft_r2c_1d(static_cast<int>(size), time_, bins, FFTW_ESTIMATE);
  backward_ = fftw_plan_dft_c2r_1d(static_cast<int>(size), bins, time_, FFTW_ESTIMATE);
}

FftPair::~FftPair() {
  const std::lock_guard lock(planner());
  fftw_destroy_plan(forward_);
  fftw_destroy_plan(backward_);
  fftw_free(time_);
  fftw_free(bins_);
}

void FftPair::forward() { fftw_execute(forward_); }

void FftPair::backward() {
  fftw_execute(backward_);
  for (double& x : time()) x /= static_cast<double>(size_);
}

}  // namespace four76::scenes
