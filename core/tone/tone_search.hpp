// ToneSearch: where in the spectrum the tone lies, anywhere within -25 % to +25 % of the nominal.
//
// A few overlapping Hann frames (about 90 ms each for tones from 1 kHz, 180 ms below) that together span 0.15 to 0.24
// s. A steady tone stands in the same bin of every frame, speech and music move on: so the score of a bin is the mean
// over the frames of its level in decibels, each frame first widened by a bin to either side for wow. The tone is the
// bin with the best score, less half a decibel for each percent off the nominal, if it stands well above the median of
// the wider neighbourhood and was there in the oldest frame already: the click of a tone's onset is everywhere.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "core/signal/fft.hpp"

namespace four76 {

inline constexpr double kSearchRange = 0.25;  // of the nominal, to either side

struct FoundTone {
  double frequency_hz = 0.0;  // within about a hertz on a steady tone
  double amplitude = 0.0;     // linear peak amplitude, roughly
  double power_share = 0.0;   // of all that sounds within +-50 % of the nominal
  bool alone = true;          // within the search range nothing else stands within 17 dB of it
};

class ToneSearch {
 public:
  struct Config {
    double sample_rate_hz = 48000.0;
    double nominal_hz = 3000.0;
  };
  explicit ToneSearch(const Config& config);
  // How much of the newest input find() looks at.
  [[nodiscard]] std::size_t span_samples() const noexcept { return fft_.size() + (kFrames - 1) * hop_; }
  // `newest` holds exactly span_samples() samples, oldest first.
  std::optional<FoundTone> find(std::span<const float> newest) noexcept;
  // Where in what was heard the tone at that frequency sets in: the index of its first sample, to some 10 ms.
  [[nodiscard]] std::size_t onset(std::span<const float> heard, double frequency_hz) const noexcept;

 private:
  static constexpr std::size_t kFrames = 4;
  void add_frame_levels(std::span<const float> frame, std::size_t index) noexcept;
  [[nodiscard]] bool was_there_at_first(std::size_t bin) noexcept;
  [[nodiscard]] double power_share(std::size_t bin) const noexcept;
  [[nodiscard]] bool stands_alone(std::size_t bin) const noexcept;
  [[nodiscard]] double interpolated_bin(std::size_t bin) const noexcept;

  Config config_;
  RealFft fft_;
  std::size_t hop_;
  std::size_t first_bin_;                   // of the spectrum, at index 1 of the vectors below
  std::size_t search_first_, search_last_;  // indices of the searched range, inclusive
  std::vector<float> window_, windowed_;
  std::vector<float> power_;  // mean over the frames, one value a bin of the band and a bin beside
  std::vector<float> frame_power_, oldest_power_;
  std::vector<float> score_db_;
  std::vector<float> scratch_;
};

}  // namespace four76
