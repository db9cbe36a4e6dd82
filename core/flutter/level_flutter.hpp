// LevelFlutter: how the tone's level flutters, apart from its speed: a worn pressure pad, a warped or slack tape, a
// head that the tape does not lie against; and its dropouts.
//
//   points --> DropoutWatch --> [low-pass: flat to 40 Hz, 60 dB down from 85 Hz] --> 125 to 250 a second --> ring
//   ring   --> in stretches of 10 s: over the straight line through it, less 1 --> root mean square in percent
//
// - Dropouts and what cannot be read do not count, nor what the low-pass smears of them: 40 ms to either side.
// - The straight line takes what is slower: a sine of 0.2 Hz reads some 4 % too low, one of 0.5 Hz 1 % (derived:
//   half of 6 / (pi k)^2 of the power of k turns).
// - A change of level that stays, by 3 dB or more within some seconds, is a volume that somebody turned: stretches end
//   before it and begin behind it, once two seconds agree. So that a turn does not show before it is known, the newest
//   second or two are not in the figures yet.
// - A figure needs 5 s that count. The whole is the mean power of its stretches.
// - Noise: the part in phase with the tone has the one-sided density N0 / C, relative to it (see carrier_noise.hpp). It
//   is taken out in power, as in noise_removal.hpp. Where it is stronger than dropouts are deep (0.17 of the level over
//   5 ms, four sigma from a dropout's depth), they are not told.
//
// Memory some 50 KB. process() neither allocates nor throws.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/flutter/dropout_watch.hpp"
#include "core/flutter/noise_removal.hpp"

namespace four76 {

struct LevelReading {
  std::optional<FlutterFigure> rms;  // percent of the level
  std::optional<DropoutReading> dropouts;
  double counted_s = 0.0;
};

class LevelFlutter {
 public:
  struct Config {
    double point_rate_hz = 1000.0;
  };
  static constexpr double kHighestHz = 40.0, kLeastS = 5.0, kStretchS = 10.0;
  static constexpr double kDropoutWindowS = 60.0;  // of the live reading: they are few

  explicit LevelFlutter(const Config& config);
  void reset() noexcept;
  void process(std::span<const LevelPoint> points) noexcept;

  // N0/C in 1/Hz over the same time; without it nothing is taken out.
  [[nodiscard]] LevelReading live(std::optional<double> noise_to_carrier) const noexcept;
  [[nodiscard]] LevelReading whole(std::optional<double> noise_to_carrier) const noexcept;

 private:
  struct Sum {
    double sum = 0.0, points = 0.0;
    void add(const Sum& other) noexcept {
      sum += other.sum;
      points += other.points;
    }
  };
  void take(const LevelPoint& point) noexcept;
  void keep(double level, bool sound) noexcept;
  void end_block() noexcept;
  [[nodiscard]] bool departs(double level) const noexcept;
  void settle_again(double mean) noexcept;
  void end_run(std::uint64_t until) noexcept;
  void go_on(double mean) noexcept;
  [[nodiscard]] std::uint64_t steady_until() const noexcept;
  [[nodiscard]] Sum measure(std::uint64_t from, std::uint64_t to) const noexcept;
  [[nodiscard]] LevelReading read(const Sum& power, const std::optional<DropoutReading>& dropouts,
                                  std::optional<double> noise_to_carrier) const noexcept;
  [[nodiscard]] std::size_t ring_at(std::uint64_t point) const noexcept {
    return static_cast<std::size_t>(point % ring_.size());
  }

  DropoutWatch dropouts_;
  std::vector<double> taps_;
  std::size_t decimation_;
  double rate_hz_;                                  // of the ring
  double noise_bandwidth_hz_, power_bandwidth_hz_;  // of the low-pass: of white noise, and of its power's chance
  std::vector<float> input_;                        // twice the taps' length: the newest lie in a row
  std::size_t input_next_ = 0, until_kept_, unsettled_ = 0;

  std::vector<float> ring_;
  std::vector<std::uint8_t> sound_;
  std::uint64_t kept_ = 0;  // points that ever went into the ring
  std::uint64_t run_begin_ = 0, counted_until_ = 0;
  std::size_t block_points_, in_block_ = 0;
  Sum block_;  // of the level, not its square
  static constexpr std::size_t kBlocks = 8;
  std::array<double, kBlocks> means_{};  // of the run's newest blocks, oldest first
  std::size_t mean_count_ = 0, silent_blocks_ = 0, off_blocks_ = 0, off_means_ = 0;  // the newest in a row
  std::optional<double> last_mean_;
  int settling_ = 0;  // blocks that may yet go by until the level is taken as it is
  Sum whole_;
};

}  // namespace four76
