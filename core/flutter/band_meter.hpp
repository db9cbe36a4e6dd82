// BandMeter: one band of the deviation, filtered and summed up: root mean square and two-sigma, over the newest 10 s
// and over the whole.
//
// Squares are summed in blocks of a hundredth of the window, so that no rounding builds up as values leave it. The live
// root mean square therefore spans 99 to 100 % of the window.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>

#include "core/flutter/deviation_filter.hpp"
#include "core/flutter/two_sigma.hpp"

namespace four76 {

struct BandLevel {
  double counted_s = 0.0;
  double rms_percent = 0.0;
  double two_sigma_percent = 0.0;
};

class BandMeter {
 public:
  struct Config {
    DeviationFilter::Config filter;
    double window_s = 10.0;
  };
  explicit BandMeter(const Config& config);
  void reset() noexcept;
  // Sets the filter as if the deviation had always been this.
  void settle(double deviation_percent) noexcept { filter_.settle(deviation_percent); }
  // Through the filter alone.
  void warm(double deviation_percent) noexcept { (void)filter_.process(deviation_percent); }
  // What follows counts only once the filter has settled.
  void unsettle() noexcept { unsettled_points_ = settling_points_; }
  // Gives back the filtered value where it counts. `sound` is false for a point that was filled in.
  std::optional<double> process(double deviation_percent, bool sound) noexcept;
  // Time passes that does not count.
  void skip() noexcept;

  [[nodiscard]] std::optional<BandLevel> live() const noexcept;
  [[nodiscard]] std::optional<BandLevel> whole() const noexcept;
  [[nodiscard]] const DeviationFilter& filter() const noexcept { return filter_; }

 private:
  struct Sum {
    double squares = 0.0;
    std::uint64_t count = 0;
    void add(double value) noexcept {
      squares += value * value;
      ++count;
    }
  };
  static constexpr std::size_t kBlocks = 100;
  void pass_time() noexcept;
  [[nodiscard]] std::optional<BandLevel> level(const Sum& sum, const TwoSigma& two_sigma) const noexcept;

  double point_rate_hz_;
  DeviationFilter filter_;
  TwoSigma live_two_sigma_, whole_two_sigma_;
  std::size_t block_points_;
  std::array<Sum, kBlocks> blocks_{};  // ring; the newest is being filled
  std::size_t block_ = 0, in_block_ = 0;
  Sum whole_;
  std::size_t settling_points_, unsettled_points_ = 0;
};

}  // namespace four76
