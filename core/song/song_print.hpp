// SongPrint: what a song looks like from afar, one 64-bit word every 43 ms.
//
// 64 bands of equal width in log frequency, 300 to 3600 Hz. Of each the logarithmic level, less that of its neighbours
// and less its own mean over a second to either side, is above zero or not: level, tone controls and steady noise drop
// out. Two prints of the same music agree in most bits; of different music in half of them.
//
// A tape's speed moves pitch and tempo alike: its words are made with the bands and the step scaled by that speed, from
// spectra that are computed once.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace four76 {

inline constexpr double kPrintStep_s = 512.0 / 12000.0;

class SongSpectra {
 public:
  // Samples at kSongRate_hz.
  explicit SongSpectra(std::span<const float> samples);
  // Words at every kPrintStep_s of the reference's time, which is kPrintStep_s / speed of these samples' own.
  [[nodiscard]] std::vector<std::uint64_t> words(double speed) const;

 private:
  std::size_t frames_ = 0;
  std::vector<float> power_;  // frame by frame
};

// Share of equal bits, 0.5 by chance.
double agreement(std::span<const std::uint64_t> a, std::span<const std::uint64_t> b, std::size_t stride) noexcept;

}  // namespace four76
