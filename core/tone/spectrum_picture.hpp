// SpectrumPicture: an averaged spectrum made ready to be drawn: decibels, and its strongest peaks, named.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "core/tone/interference.hpp"
#include "core/tone/spectrum_view.hpp"

namespace four76 {

class SpectrumPicture {
 public:
  explicit SpectrumPicture(std::size_t bins);

  // `power` is mean-square amplitude, 1 = a full-scale sine; as many bins as the picture was made for. The picture's
  // views are valid until the next call.
  SpectrumView draw(std::span<const float> power, double first_hz, double bin_hz,
                    std::optional<double> tone_hz) noexcept;
  // The same with the peaks given: the tone and the lines beside it.
  SpectrumView draw_around(std::span<const float> power, double first_hz, double bin_hz, double tone_hz,
                           const Interferers& lines) noexcept;

 private:
  static constexpr std::size_t kMostPeaks = 8;
  void set_levels(std::span<const float> power) noexcept;
  [[nodiscard]] double level_at(double hz, double first_hz, double bin_hz) const noexcept;
  [[nodiscard]] bool tops_its_neighbours(std::span<const float> power, std::size_t bin) const noexcept;
  void keep_strongest(const SpectrumPeak& peak) noexcept;

  std::vector<float> level_dbfs_;
  std::vector<float> scratch_;
  std::array<SpectrumPeak, kMostPeaks> peaks_{};
  std::size_t peak_count_ = 0;
};

}  // namespace four76
