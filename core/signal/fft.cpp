#include "core/signal/fft.hpp"

#include <cassert>
#include <kissfft.hh>
#include <vector>

namespace four76 {

namespace {
[[maybe_unused]] bool is_power_of_two(std::size_t n) { return n >= 4 && (n & (n - 1)) == 0; }
}  // namespace

struct RealFft::Impl {
  explicit Impl(std::size_t size) : fft(size / 2, false), bins(size / 2 + 1) {}
  kissfft<float> fft;
  std::vector<std::complex<float>> bins;
};

RealFft::RealFft(std::size_t size) : size_(size), impl_(std::make_unique<Impl>(size)) {
  assert(is_power_of_two(size) && "the size of a transform is a power of two");
}
RealFft::~RealFft() = default;
RealFft::RealFft(RealFft&&) noexcept = default;
RealFft& RealFft::operator=(RealFft&&) noexcept = default;

std::span<const std::complex<float>> RealFft::transform(std::span<const float> in) noexcept {
  assert(in.size() == size_ && "a transform takes exactly its size");
  auto& bins = impl_->bins;
  impl_->fft.transform_real(in.data(), bins.data());
  // KissFFT packs the Nyquist bin into the imaginary part of bin 0.
  bins[size_ / 2] = {bins[0].imag(), 0.0F};
  bins[0] = {bins[0].real(), 0.0F};
  return bins;
}

struct ComplexFft::Impl {
  explicit Impl(std::size_t size) : fft(size, false), bins(size) {}
  kissfft<float> fft;
  std::vector<std::complex<float>> bins;
};

ComplexFft::ComplexFft(std::size_t size) : size_(size), impl_(std::make_unique<Impl>(size)) {
  assert(is_power_of_two(size) && "the size of a transform is a power of two");
}
ComplexFft::~ComplexFft() = default;
ComplexFft::ComplexFft(ComplexFft&&) noexcept = default;
ComplexFft& ComplexFft::operator=(ComplexFft&&) noexcept = default;

std::span<const std::complex<float>> ComplexFft::transform(std::span<const std::complex<float>> in) noexcept {
  assert(in.size() == size_ && "a transform takes exactly its size");
  impl_->fft.transform(in.data(), impl_->bins.data());
  return impl_->bins;
}

}  // namespace four76
