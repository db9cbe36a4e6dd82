#include "core/signal/fft.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <vector>

#include "tests/unit/core/test_signals.hpp"

namespace four76 {
namespace {

using test::kTwoPi;

// The sum that defines the transform, in double precision.
template <typename T>
std::complex<double> direct_bin(const std::vector<T>& x, std::size_t bin) {
  std::complex<double> sum;
  for (std::size_t n = 0; n < x.size(); ++n) {
    const double turns = static_cast<double>((bin * n) % x.size()) / static_cast<double>(x.size());
    sum += std::complex<double>(x[n]) * std::complex<double>(std::cos(kTwoPi * turns), -std::sin(kTwoPi * turns));
  }
  return sum;
}

// Rounding of a float transform grows with the square root of its stages; 1e-6 of the signal's own size is far above.
constexpr double kOfTheSize = 1e-6;

TEST(RealFft, AgreesWithTheDirectSum) {
  test::Noise noise(1);
  for (const std::size_t size : {4u, 8u, 64u, 1024u}) {
    std::vector<float> x(size);
    double square = 0.0;
    for (float& v : x) square += std::pow(v = static_cast<float>(noise()), 2.0);
    RealFft fft(size);
    const auto bins = fft.transform(x);
    ASSERT_EQ(bins.size(), size / 2 + 1);
    for (std::size_t k = 0; k < bins.size(); ++k)
      EXPECT_LT(std::abs(std::complex<double>(bins[k]) - direct_bin(x, k)),
                kOfTheSize * std::sqrt(square) * std::sqrt(size))
          << size << " bin " << k;
  }
}

TEST(ComplexFft, AgreesWithTheDirectSum) {
  test::Noise noise(2);
  for (const std::size_t size : {4u, 8u, 64u, 1024u}) {
    std::vector<std::complex<float>> x(size);
    double square = 0.0;
    for (auto& v : x) {
      v = {static_cast<float>(noise()), static_cast<float>(noise())};
      square += static_cast<double>(std::norm(v));
    }
    ComplexFft fft(size);
    const auto bins = fft.transform(x);
    ASSERT_EQ(bins.size(), size);
    for (std::size_t k = 0; k < bins.size(); ++k)
      EXPECT_LT(std::abs(std::complex<double>(bins[k]) - direct_bin(x, k)),
                kOfTheSize * std::sqrt(square) * std::sqrt(size))
          << size << " bin " << k;
  }
}

TEST(RealFft, PutsDcAndNyquistInTheirOwnBins) {
  std::vector<float> x(16);
  for (std::size_t n = 0; n < x.size(); ++n) x[n] = 3.0F + (n % 2 == 0 ? 2.0F : -2.0F);
  RealFft fft(x.size());
  const auto bins = fft.transform(x);
  EXPECT_FLOAT_EQ(bins[0].real(), 48.0F);
  EXPECT_FLOAT_EQ(bins[8].real(), 32.0F);
  EXPECT_EQ(bins[0].imag(), 0.0F);
  EXPECT_EQ(bins[8].imag(), 0.0F);
}

TEST(RealFft, KeepsTheEnergy) {  // Parseval
  test::Noise noise(3);
  std::vector<float> x(4096);
  double square = 0.0;
  for (float& v : x) square += std::pow(v = static_cast<float>(noise()), 2.0);
  RealFft fft(x.size());
  const auto bins = fft.transform(x);
  double energy = 0.0;
  for (std::size_t k = 0; k < bins.size(); ++k)
    energy += (k == 0 || k + 1 == bins.size() ? 1.0 : 2.0) * static_cast<double>(std::norm(bins[k]));
  EXPECT_NEAR(energy / 4096.0 / square, 1.0, 1e-6);
}

TEST(RealFft, IsSilentForSilenceAndForgetsWhatItSawBefore) {
  RealFft fft(64);
  const std::vector<float> loud(64, 1.0F);
  const std::vector<float> silent(64, 0.0F);
  fft.transform(loud);
  for (const auto& bin : fft.transform(silent)) EXPECT_EQ(bin, std::complex<float>(0.0F));
}

TEST(ComplexFft, TellsNegativeFromPositiveFrequencies) {
  std::vector<std::complex<float>> x(32);
  for (std::size_t n = 0; n < x.size(); ++n)
    x[n] = std::complex<float>(std::polar(1.0, -kTwoPi * 3.0 * static_cast<double>(n) / 32.0));
  ComplexFft fft(x.size());
  const auto bins = fft.transform(x);
  EXPECT_NEAR(static_cast<double>(bins[29].real()), 32.0, 1e-4);
  EXPECT_NEAR(static_cast<double>(std::abs(bins[3])), 0.0, 1e-4);
}

}  // namespace
}  // namespace four76
