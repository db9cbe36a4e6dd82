// FftPair: FFTW's real transform of one size, there and back; for the scenes, which must not rest on the core's own.
#pragma once

#include <complex>
#include <cstddef>
#include <span>

struct fftw_plan_s;

namespace four76::scenes {

class FftPair {
 public:
  explicit FftPair(std::size_t size);
  ~FftPair();
  FftPair(const FftPair&) = delete;
  FftPair& operator=(const FftPair&) = delete;

  [[nodiscard]] std::span<double> time() { return {time_, size_}; }
  [[nodiscard]] std::span<std::complex<double>> bins() { return {bins_, size_ / 2 + 1}; }
  void forward();   // time to bins
  void backward();  // bins to time, of the same size as before; bins are lost

 private:
  std::size_t size_;
  double* time_;
  std::complex<double>* bins_;
  fftw_plan_s* forward_;
  fftw_plan_s* backward_;
};

}  // namespace four76::scenes
