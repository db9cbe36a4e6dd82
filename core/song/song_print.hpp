// SongPrint: what a song looks like from afar, one 64-bit word every 43 ms.
//
// 64 bands of equal width in log frequency, 300 to 3600 Hz. Of each the logarithmic level, less that of its neighbours
// and less its own mean over a second to either side, is above zero or not: level, tone controls and steady noise drop
// out. Two prints of the same music agree in most bits; of different music in half of them.
//
// A tape's speed moves pitch and tempo alike: its words are made with the bands and the step scaled by that speed, from
// spectra that are computed once.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "core/signal/fft.hpp"

namespace four76 {

inline constexpr double kPrintStep_s = 512.0 / 12000.0;

class SongSpectra {
 public:
  // Of samples at kSongRate_hz, all at once.
  explicit SongSpectra(std::span<const float> samples);
  // Room for that many samples; they come later, without allocating.
  explicit SongSpectra(std::size_t most_samples);
  void clear() noexcept { frames_ = 0; }
  // Takes up to `most` spectra more of the samples, which are the same at each call; true when all are there.
  bool advance(std::span<const float> samples, std::size_t most) noexcept;

  // Words at every kPrintStep_s of the reference's time, which is kPrintStep_s / speed of these samples' own. Valid
  // until the next call.
  [[nodiscard]] std::span<const std::uint64_t> words(double speed) noexcept;

 private:
  using Levels = std::array<float, 64>;
  RealFft fft_;
  std::vector<float> window_, frame_;
  std::size_t frames_ = 0;
  std::vector<float> power_;  // frame by frame
  std::vector<Levels> levels_;
  std::vector<std::uint64_t> words_;
};

// Share of equal bits, 0.5 by chance.
double agreement(std::span<const std::uint64_t> a, std::span<const std::uint64_t> b, std::size_t stride) noexcept;

}  // namespace four76
