// PairFinder: whether a stretch of the search range holds two steady tones of like strength, and what each does.
//
// Two tones beat: the level of their sum runs up and down. Once the right line, A exp(j w t), is taken out, what is
// left has a constant level, however its frequency moves:
//
//   | x(t) - A exp(j w t) |  ~  constant        for one A and w, and for those alone
//
// No single line does that to a tone whose level flutters: modulation makes lines on both sides, and with one of them
// gone the level's variance is still a quarter of what it was (derived). Nor to a tone that wows: its level is constant
// as it is. Line and remainder are fitted in turns, the remainder held to its mean level each time.
//
// Valid for tones at least three resolutions (3 / stretch) apart, within 13 dB of each other. Complex samples in,
// frequencies from the band's centre; allocates in the constructor alone.
#pragma once

#include <complex>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "core/signal/fft.hpp"
#include "core/tone/tone_pair.hpp"

namespace four76 {

class PairFinder {
 public:
  struct Config {
    std::size_t most_samples = 8192;  // a power of two
    double rate_hz = 2400.0;          // complex samples a second
    double range_hz = 750.0;          // to either side of the centre
    double beside_hz = 60.0;          // of each tone: holds its wow and flutter
  };
  explicit PairFinder(const Config& config);

  // `newest` holds at most most_samples samples, oldest first. Nothing where it is less than a second, or holds no
  // pair.
  std::optional<TonePair> find(std::span<const std::complex<float>> newest) noexcept;

 private:
  using Complex = std::complex<float>;
  struct Line {
    double hz = 0.0;
    std::complex<double> amplitude;  // and its phase at the first sample
  };
  struct Split {
    Line line;
    double other_hz = 0.0, other_amplitude = 0.0, other_cycles = 0.0;
    double sameness = 0.0;                                 // variance of the level before over after
    double level_variance = 0.0;                           // of the remainder, over its mean squared
    double line_wander_rad = 0.0, other_wander_rad = 0.0;  // root mean square; the line's at most
  };

  void window(std::span<const Complex> newest) noexcept;
  void transform(std::span<const Complex> in) noexcept;
  void back(double low_hz, double high_hz) noexcept;
  [[nodiscard]] std::size_t bin_of(double hz) const noexcept;
  [[nodiscard]] double power_around(double hz, double reach_hz) const noexcept;
  [[nodiscard]] double strongest_around(double reach_hz) const noexcept;
  std::size_t find_candidates(std::span<double> hz) noexcept;
  [[nodiscard]] bool beats() noexcept;
  [[nodiscard]] std::complex<double> correlate(std::span<const Complex> windowed, double hz) const noexcept;
  [[nodiscard]] Line fit_line(std::span<const Complex> windowed, double near_hz) const noexcept;
  void take_out(const Line& line, std::span<const Complex> from, std::span<Complex> to) const noexcept;
  [[nodiscard]] std::optional<Split> split(double near_hz) noexcept;
  struct Level {
    double mean = 0.0, variance = 0.0;
  };
  [[nodiscard]] Level level_of(std::span<const Complex> windowed) const noexcept;
  void follow_other(Split& split) noexcept;
  [[nodiscard]] TonePair pair_of(const Split& split) const noexcept;

  Config config_;
  ComplexFft fft_;
  std::size_t count_ = 0;  // of the stretch in hand
  std::vector<float> hann_;
  std::vector<Complex> windowed_, bins_, sum_, remainder_, scratch_;
};

}  // namespace four76
