// LineFollower: follows one line through spectra that come one after another, and adds up what it sees.
//
// A hidden Markov model over the bins. A bin's power over the floor beside it is exponentially distributed, with mean 1
// without a line and 1 + q with a line that fades:
//
//   ln P(u | line) - ln P(u | none) = u q / (1 + q) - ln(1 + q),   at most 5 a frame
//
// q is 20 where the floor is as low as it mostly is between the beats. A line is as strong in a burst of the drums as
// ahead of it, so q falls as the floor rises: a burst hides a line and says nothing against it. From frame to frame the
// line goes where it is expected to, or a little beside that.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>

#include "core/tapes/lines/movement_match.hpp"

namespace four76 {

class LineFollower {
 public:
  static constexpr std::size_t kBins = 256;

  // Bins lie `bin_hz` apart; bin 128 stands at `centre_hz`. Those outside of the range are not looked at.
  struct Config {
    double centre_hz = 15680.0, bin_hz = 11.7, lowest_hz = 14375.0, highest_hz = 16993.0;
  };
  explicit LineFollower(const Config& config) noexcept;

  struct Frame {
    std::span<const float, kBins> power;
    double expected_step = 0.0;     // of ln frequency since the frame before
    double machine_step = 0.0;      // what the machine is said to have moved
    double machine_variance = 0.0;  // of that
    bool machine_known = false;
    std::optional<double> not_at_hz;  // another line stands there
    double smeared_hz = 0.0;          // so far to either side
  };
  void take(const Frame& frame) noexcept;
  void reset() noexcept;

  // Whether a line was followed for long enough to be none of chance or of music.
  [[nodiscard]] bool heard() const noexcept;
  [[nodiscard]] double frames() const noexcept { return count_; }
  [[nodiscard]] double mean_hz() const noexcept;
  [[nodiscard]] double u95_percent() const noexcept;
  [[nodiscard]] const MovementMatch& match() const noexcept { return match_; }

 private:
  struct Peak {
    double hz = 0.0, over_floor = 0.0;
  };
  void find_floor(std::span<const float, kBins> power) noexcept;
  void find_ratio() noexcept;
  [[nodiscard]] float score(float over_floor) const noexcept;
  void expect(double step) noexcept;
  [[nodiscard]] std::optional<Peak> peak_of(std::span<const float, kBins> power) const noexcept;
  void add(const Peak& peak, const Frame& frame) noexcept;
  void forget_sums() noexcept;

  Config config_;
  std::size_t first_ = 0, last_ = 0;
  std::array<float, kBins> floor_{}, belief_{}, moved_{};
  double evidence_ = 0.0;
  std::optional<double> quiet_floor_log_;
  float slope_ = 0.0F, offset_ = 0.0F;  // of the score, for this frame's q
  std::optional<double> previous_;      // ln frequency in the frame before
  double count_ = 0.0, seen_ = 0.0, all_ = 0.0, mean_log_ = 0.0, squares_ = 0.0, noise_ = 0.0;
  MovementMatch match_;
};

}  // namespace four76
