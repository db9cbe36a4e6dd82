#include "core/flutter/weighting.hpp"

#include <cassert>
#include <cmath>
#include <complex>
#include <numbers>

namespace four76 {

namespace {

// Derived: least largest distance from the table, in decibels.
constexpr double kPairHz = 0.42757, kPairQ = 0.68512;
constexpr double kPolesHz[] = {1.84982, 4.10879, 12.74351, 117.16375};
constexpr double kZerosHz[] = {5.80545, 91.97208};  // beside three at 0 Hz
constexpr double kReferenceHz = 4.0;

std::complex<double> unscaled(double rate_hz) noexcept {
  const std::complex<double> s(0.0, rate_hz);
  std::complex<double> h = s * s * s / (s * s + s * (kPairHz / kPairQ) + kPairHz * kPairHz);
  for (const double zero_hz : kZerosHz) h *= s + zero_hz;
  for (const double pole_hz : kPolesHz) h /= s + pole_hz;
  return h;
}

// (1 - z_a / z) (1 - z_b / z) over the like with the poles.
Biquad section(double zero_a, double zero_b, double pole_a, double pole_b) noexcept {
  return {.b0 = 1.0, .b1 = -(zero_a + zero_b), .b2 = zero_a * zero_b, .a1 = -(pole_a + pole_b), .a2 = pole_a * pole_b};
}

Biquad pair_section(double point_rate_hz) noexcept {
  const double step = 2.0 * std::numbers::pi * kPairHz / point_rate_hz;
  const double radius = std::exp(-step / (2.0 * kPairQ));
  const double turn = step * std::sqrt(1.0 - 1.0 / (4.0 * kPairQ * kPairQ));
  Biquad pair = section(1.0, 1.0, 0.0, 0.0);
  pair.a1 = -2.0 * radius * std::cos(turn);
  pair.a2 = radius * radius;
  return pair;
}

}  // namespace

double weighting_gain(double rate_hz) noexcept {
  static const double reference = std::abs(unscaled(kReferenceHz));
  return std::abs(unscaled(rate_hz)) / reference;
}

std::array<Biquad, kWeightingSections> weighting_sections(double point_rate_hz) noexcept {
  assert(point_rate_hz > 0.0);
  const auto matched = [=](double hz) { return std::exp(-2.0 * std::numbers::pi * hz / point_rate_hz); };
  // Fast and slow ones are paired so that no section's gain is far from 1 in the band.
  std::array<Biquad, kWeightingSections> sections{
      pair_section(point_rate_hz),
      section(1.0, matched(kZerosHz[0]), matched(kPolesHz[0]), matched(kPolesHz[2])),
      section(matched(kZerosHz[1]), 0.0, matched(kPolesHz[1]), matched(kPolesHz[3])),
  };
  double gain = 1.0;
  for (const Biquad& each : sections) gain *= std::abs(each.response(kReferenceHz / point_rate_hz));
  for (double* b : {&sections[2].b0, &sections[2].b1, &sections[2].b2}) *b /= gain;
  return sections;
}

}  // namespace four76
