// TwoTones: notices a second steady tone beside the tape's, and takes out the one that is not the tape's once that is
// known.
//
//   x --> LineCanceller --> x without it --> BandRecord -- once a second --> PairFinder
//               ^                                                               |
//               +------ the one that does not wow, or the one that was not named ----+
//
// Which is the tape's is known where one of them surely wows and the other surely does not (twice in a row), or where
// the caller has said near which frequency it lies. Else the pair stays undecided and no reading can be trusted.
#pragma once

#include <array>
#include <complex>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "core/tone/band_record.hpp"
#include "core/tone/line_canceller.hpp"
#include "core/tone/pair_finder.hpp"
#include "core/tone/tone_pair.hpp"

namespace four76 {

class TwoTones {
 public:
  struct Config {
    double sample_rate_hz = 48000.0;
    double nominal_hz = 3000.0;
    std::optional<double> near_hz = std::nullopt;  // where the tape's tone lies, as far as the caller knows
    std::size_t largest_block = 256;
  };
  static constexpr double kLookEveryS = 1.0;

  explicit TwoTones(const Config& config);
  void reset() noexcept;
  // The samples without the tone that is taken out; they hold until the next call.
  std::span<const float> clean(std::span<const float> samples) noexcept;
  // Looks at the newest seconds, once in kLookEveryS of sound; `followed_hz` is the tone that is followed, if any. True
  // where a tone is taken out from now on: what was heard before holds it.
  bool look(std::optional<double> followed_hz) noexcept;

  // The louder first; nothing where there is no pair, or where it is known which is the tape's.
  [[nodiscard]] std::optional<std::array<double, 2>> undecided_hz() const noexcept;
  // The tone that is taken out, if any.
  [[nodiscard]] std::optional<double> taken_out_hz() const noexcept { return canceller_.frequency_hz(); }

 private:
  [[nodiscard]] const SteadyTone* not_the_tapes(const TonePair& pair, std::optional<double> followed_hz) const noexcept;
  [[nodiscard]] SteadyTone at_the_input(SteadyTone tone) const noexcept;

  Config config_;
  LineCanceller canceller_;
  BandRecord band_;
  PairFinder finder_;
  std::vector<std::complex<float>> newest_;
  std::vector<float> cleaned_;
  std::optional<TonePair> pair_;  // frequencies as in the sound, not from the band's centre
  int missed_ = 0;                // looks without it since
};

}  // namespace four76
