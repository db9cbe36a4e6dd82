// Weighting: how strongly a wow or flutter of a given rate is heard, after IEC 60386:1972 (with Amd 1:1988; AES6-2008
// weighs alike).
//
// The standard gives a table of decibels, 0 dB at 4 Hz (sources.md#weighting). What stands here is a fit by poles and
// zeros,
//
//   H(s) = g s^3 (s + z1) (s + z2) / ((s^2 + s p0 / Q + p0^2) (s + p1) (s + p2) (s + p3) (s + p4)),   in hertz,
//
// found by minimax over the table (derived): at most 0.19 dB off at every rate of it, 0.1 to 200 Hz.
//
// As a recursive filter each pole p and zero z becomes exp(-2 pi p / rate), matched: the slow ones then lie exactly
// where they should, and what aliasing does to the response near 200 Hz (up to a decibel at 700 points a second) is
// smooth, so that the filter that cuts at 200 Hz takes it out: see deviation_filter.hpp. The bilinear transform would
// need the same correction, and a larger one, for it has no response left at half the rate.
#pragma once

#include <array>

#include "core/flutter/biquad.hpp"

namespace four76 {

// |H| of the fit, 1 at 4 Hz; rate_hz above 0. Without the cut at 200 Hz.
double weighting_gain(double rate_hz) noexcept;

// The matched filter at that many points a second, its gain 1 at 4 Hz.
inline constexpr int kWeightingSections = 3;
std::array<Biquad, kWeightingSections> weighting_sections(double point_rate_hz) noexcept;

}  // namespace four76
