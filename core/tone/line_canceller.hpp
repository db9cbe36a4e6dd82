// LineCanceller: takes one steady tone out of the input, and nothing else that is a hertz away.
//
//   e = x - Re(w exp(j theta)),   w += 2 mu e exp(-j theta)     (Widrow's adaptive notch: B. Widrow et al., "Adaptive
//                                                               noise cancelling", Proceedings of the IEEE, 1975)
//
// A notch of mu fs / (2 pi) Hz to either side; its frequency follows the slow turning of w, so that an oscillator that
// drifts stays in it. A tone at a distance of D Hz is turned by kNotchHz / D radians, the same all the time: its mean
// frequency is untouched (derived).
#pragma once

#include <complex>
#include <cstddef>
#include <optional>
#include <span>

#include "core/tone/tone_pair.hpp"

namespace four76 {

class LineCanceller {
 public:
  explicit LineCanceller(double sample_rate_hz) noexcept;
  void reset() noexcept { on_ = false; }
  // Begins with a tone whose phase is that at the newest sample before the next.
  void start(const SteadyTone& tone) noexcept;
  [[nodiscard]] bool on() const noexcept { return on_; }
  // Of the tone that is taken out; nothing where none is.
  [[nodiscard]] std::optional<double> frequency_hz() const noexcept;
  void process(std::span<float> samples) noexcept;

 private:
  void follow() noexcept;

  double sample_rate_hz_, gain_;
  std::size_t look_every_;
  bool on_ = false;
  double frequency_hz_ = 0.0;
  std::complex<double> phasor_, turn_, weight_, weight_before_;
  std::size_t until_look_ = 0;
};

}  // namespace four76
