// SpectrumView: an averaged spectrum as plain data, with its peaks named.
#pragma once

#include <cstdint>
#include <span>

namespace four76 {

struct SpectrumPeak {
  enum class Kind : std::uint8_t { tone, mains_harmonic, competing, other };
  double frequency_hz = 0.0;
  double level_dbfs = 0.0;
  Kind kind = Kind::other;
  double mains_hz = 0.0;  // 50 or 60 where kind is mains_harmonic
};

// Lies in the memory of whoever gave it.
struct SpectrumView {
  std::span<const float> level_dbfs;  // one value a bin; a full-scale sine reads 0 dBFS at its peak
  double first_hz = 0.0;              // frequency of bin 0
  double bin_hz = 0.0;                // spacing
  // Of the whole spectrum the strongest first; around the tone, the tone and then the lines beside it as they lie.
  std::span<const SpectrumPeak> peaks;
};

}  // namespace four76
