// RealFft, ComplexFft: discrete Fourier transforms of power-of-two size. The only users of KissFFT.
//
//   X[k] = sum_n x[n] exp(-j 2 pi k n / N), unscaled.
//
// The constructor allocates; transform() does not.
#pragma once

#include <complex>
#include <cstddef>
#include <memory>
#include <span>

namespace four76 {

class RealFft {
 public:
  explicit RealFft(std::size_t size);  // a power of two, at least 4
  ~RealFft();
  RealFft(RealFft&&) noexcept;
  RealFft& operator=(RealFft&&) noexcept;

  [[nodiscard]] std::size_t size() const noexcept { return size_; }
  // `in` holds size() samples; the result is bins 0 to size()/2, valid until the next call.
  std::span<const std::complex<float>> transform(std::span<const float> in) noexcept;

 private:
  struct Impl;
  std::size_t size_;
  std::unique_ptr<Impl> impl_;
};

class ComplexFft {
 public:
  explicit ComplexFft(std::size_t size);  // a power of two, at least 4
  ~ComplexFft();
  ComplexFft(ComplexFft&&) noexcept;
  ComplexFft& operator=(ComplexFft&&) noexcept;

  [[nodiscard]] std::size_t size() const noexcept { return size_; }
  // Bins 0 to size()-1, the upper half standing for negative frequencies; valid until the next call.
  std::span<const std::complex<float>> transform(std::span<const std::complex<float>> in) noexcept;

 private:
  struct Impl;
  std::size_t size_;
  std::unique_ptr<Impl> impl_;
};

}  // namespace four76
