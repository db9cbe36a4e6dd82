// SincTable, RateChanger: band-limited interpolation.
//
//   y(p) = sum_k x[k] h(p - k),  h a sinc of the given cut-off under Kaiser's window (beta 8: side lobes below -80 dB;
//   Kaiser 1974, from memory)
//
// SincTable reads a signal between its samples: the reference at the tape's own speed. RateChanger brings what comes in
// blocks, at any rate, to the one rate that songs are compared at.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace four76 {

// Songs are compared at this rate: room for 150 to 5500 Hz, which is what worn tapes keep of music.
inline constexpr double kSongRate_hz = 12000.0;

class SincTable {
 public:
  // Cut-off in cycles a sample, half the taps on either side.
  explicit SincTable(double cutoff = 0.47, std::size_t half_taps = 16);
  [[nodiscard]] std::size_t half_taps() const noexcept { return half_taps_; }
  // The value at a position in samples; silence beyond both ends. 512 phases: off by a thousandth of a sample at most.
  [[nodiscard]] float at(std::span<const float> samples, double position) const noexcept;

 private:
  std::size_t half_taps_;
  std::vector<float> rows_;
};

class RateChanger {
 public:
  struct Config {
    double sample_rate_hz = 48000.0;  // 8000 to 192000
    int channels = 1;                 // 1 or 2, interleaved; two are mixed, and one turned over where they are opposed
  };
  explicit RateChanger(const Config& config);
  void reset() noexcept;

  // Gives each sample at kSongRate_hz to `sink(float)`. A sample that is not finite counts as silence.
  template <class Sink>
  void process(std::span<const float> interleaved, Sink&& sink) noexcept {
    const auto channels = static_cast<std::size_t>(config_.channels);
    for (std::size_t at = 0; at + channels <= interleaved.size(); at += channels) {
      push(interleaved.subspan(at, channels));
      while (next_ready()) sink(next());
    }
  }

 private:
  void push(std::span<const float> frame) noexcept;
  float mixed(float left, float right) noexcept;
  [[nodiscard]] bool next_ready() const noexcept;
  float next() noexcept;

  Config config_;
  double step_;  // input samples for one of the output
  SincTable table_;
  std::vector<float> ring_;
  std::size_t fill_ = 0;
  double next_position_ = 0.0;  // in the ring
  // Of the last half second: how alike the channels are, and how strong.
  double together_ = 0.0, strength_ = 0.0, forget_ = 0.0;
  bool opposed_ = false;
};

}  // namespace four76
